package tui_test

import (
	"encoding/binary"
	"fmt"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/tui"
	"barline/tui/live"
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
)

// The drift pages in the whole program, in simulated time.

// manyBrews is a record of one beat in memory, whose answers take a while.
type manyBrews struct{ asked []string }

func (m *manyBrews) Drifts(f pages.Filter) (pages.Many, error) {
	time.Sleep(200 * time.Millisecond)
	m.asked = append(m.asked, f.Recipe)
	r := &drift.Record{}
	w := brew.Window{Early: 3 * s, Late: 3 * s}
	for i := range 30 {
		c := r.Column(drift.Column{What: drift.Beats, Version: "1f3a", Key: "bloom, end", Name: "bloom, end", Step: "bloom", Edge: brew.EndEdge, Owner: brew.Person, Window: w, HasWindow: true})
		d := time.Duration(i%7-1) * s
		b := drift.Brew{Start: time.Date(2026, 1, 5+i, 8, 0, 0, 0, time.UTC), Person: "Ada", Version: "1f3a"}
		binary.BigEndian.PutUint64(b.ID[:], uint64(i))
		b.Cells = []drift.Cell{{Column: c, Drift: d, Slip: d, Cup: drift.Judge(d, w), Own: drift.Judge(d, w)}}
		r.Add(b)
	}
	return pages.Many{Record: r}, nil
}

// drifts is the program on its shelf with a record of drift.
func drifts(t *testing.T, m pages.Drifts, back func() ([]tui.CutOff, string)) *session {
	ses := &session{t: t, began: time.Now(), done: make(chan tui.Model, 1)}
	now := func() time.Duration { return time.Since(ses.began) }
	return ses.run(tui.Open(tui.Options{
		Now: now, Drifts: m, LookBack: back,
		Recipes: []pages.Recipe{{Name: "Quayside cone", Line: "18 g to 288 g"}, {Name: "Quayside press", Line: "14 g to 210 g"}},
		Brew:    func(r pages.Recipe) live.Options { return live.Options{Now: now} },
	}))
}

func TestFromTheShelfToABeatAndBack(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		m := &manyBrews{}
		ses := drifts(t, m, nil)
		time.Sleep(s)
		ses.press("\x1b[B")
		ses.step("d", "Quayside press: drift, service")
		ses.step("m", "Quayside press: slip")
		if _, ok := ses.out.first("looking", 0); !ok {
			t.Error("nothing says that the answer is waited for")
		}
		ses.step("\r", "Quayside press: bloom, end by slip")
		ses.step("q", "enter open")
		ses.step("w", "Quayside press: persons")
		ses.step("q", "30 brews of version 1f3a")
		ses.step("q", "what shall it be?")
		ses.quit()
		if fmt.Sprint(m.asked) != "[Quayside press]" {
			t.Errorf("asked for %q", m.asked)
		}
	})
}

// An answer reaches the drift page though another page is put before it.
func TestAnAnswerReachesItsPage(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		began := time.Now()
		ses := drifts(t, &manyBrews{}, func() ([]tui.CutOff, string) {
			time.Sleep(2100 * time.Millisecond) // while the answer is waited for
			return []tui.CutOff{cut(plan, began, "Quayside press by Ada", -30*s, 8*s, nil)}, ""
		})
		time.Sleep(2 * s)
		ses.press("d")
		time.Sleep(time.Second)
		if _, ok := ses.out.first("A brew was cut off.", 2*s); !ok {
			t.Error("the offer is not put before it")
		}
		ses.step("q", "30 brews of version 1f3a")
		ses.step("q", "what shall it be?")
		ses.quit()
	})
}

// Opened on a drift page, the program ends where it is left.
func TestADriftPageAlone(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ses := &session{t: t, began: time.Now(), done: make(chan tui.Model, 1)}
		now := func() time.Duration { return time.Since(ses.began) }
		ses.run(tui.OpenDrift(tui.Options{Now: now, Drifts: &manyBrews{}}, "Quayside cone"))
		time.Sleep(s)
		if _, ok := ses.out.first("30 brews of version 1f3a", 0); !ok {
			t.Error("the page is not filled")
		}
		ses.step("\r", "bloom, end by drift")
		ses.step("q", "enter open")
		ses.quit()
	})
}

// Without a record of drift the key does nothing.
func TestNoDriftWithoutARecord(t *testing.T) {
	m := tui.Open(tui.Options{Recipes: []pages.Recipe{{Name: "Quayside cone"}}})
	next, cmd := m.Update(pages.DriftMsg{Recipe: "Quayside cone"})
	if cmd != nil || !strings.Contains(next.(tui.Model).Draw().Lines()[0], "what shall it be?") {
		t.Error("it leads somewhere")
	}
	var _ tea.Model = next
}
