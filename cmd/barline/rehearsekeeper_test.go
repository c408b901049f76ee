//go:build unix

package main

import (
	"io"
	"sync"
	"testing"
	"time"

	"barline/brew/routine"
	"barline/cmd/barline/internal/clock"
	"barline/tui/keys"
	"barline/tui/rehearsal"

	tea "github.com/charmbracelet/bubbletea"
)

// gathered is a recorder that gathers what it is given.
type gathered struct {
	takes [][]rehearsal.Happening
	zeros []time.Duration
}

func (g *gathered) Append(take, n int, h rehearsal.Happening, zero time.Duration) error {
	if take == len(g.takes) {
		g.takes, g.zeros = append(g.takes, nil), append(g.zeros, zero)
	}
	g.takes[take] = append(g.takes[take], h)
	return nil
}

// runAll runs commands, and what they bring.
func runAll(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	if all, ok := cmd().(tea.BatchMsg); ok {
		for _, one := range all {
			runAll(one)
		}
	}
}

// Whatever order happenings come in, all at once and those of the next take
// among them, each take is kept whole, and nobody waits for ever.
func TestTakesAreKeptInWhateverOrderTheyCome(t *testing.T) {
	plan := planOf(t, "lantern-three-cones")
	g := &gathered{}
	opt := rehearsal.Options{Plan: plan, Run: plan.Whole(), Recorder: g, Speed: 1, Now: func() time.Duration { return 1000 * time.Hour }}
	page := rehearsal.New(opt)
	press := func(key string, at time.Duration) {
		for _, k := range []string{"x", key} {
			msg := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
			if k == " " {
				msg = tea.KeyMsg{Type: tea.KeySpace, Runes: []rune(k)}
			}
			var cmd tea.Cmd
			page, cmd = page.Update(keys.Press{KeyMsg: msg, At: at})
			runAll(cmd)
		}
	}
	at := time.Minute
	press(" ", at)
	for range 3 {
		for n := range 40 {
			at += 7 * time.Second
			press([]string{" ", "l", " ", "u", " "}[n%5], at)
		}
		at += time.Second
		press("q", at)
		var cmd tea.Cmd
		page, cmd = page.Update(keys.Press{KeyMsg: tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("r")}, At: at + time.Second})
		runAll(cmd)
		at += time.Second
	}
	path := t.TempDir() + "/journal.db"
	a := &app{env: env{stdout: io.Discard, stderr: io.Discard, getenv: func(string) string { return "" }, clock: clock.Machine{}}}
	a.flags.journal = path
	book := a.book()
	keeper := newTakesKeeper(book, opt, "sections:")
	keeper.texts = make([]string, len(plan.Cups))
	var all sync.WaitGroup
	events := 0
	for take := len(g.takes) - 1; take >= 0; take-- {
		for n := len(g.takes[take]) - 1; n >= 0; n-- {
			events++
			all.Go(func() {
				if err := keeper.Append(take, n, g.takes[take][n], g.zeros[take]); err != nil {
					t.Error(err)
				}
			})
		}
	}
	all.Wait()
	if err := keeper.close(a.env); err != nil {
		t.Error(err)
	}
	book.close()
	kept := takesIn(t, path, plan.Name)
	if len(kept) != len(g.takes) || events < 100 {
		t.Fatalf("%d takes are kept, %d were there, of %d happenings", len(kept), len(g.takes), events)
	}
	for i, want := range page.Takes()[:len(kept)] {
		got := routine.Of(want.Take, kept[i])
		if got.Ending != want.Ending || len(got.Line()) != len(want.Line()) || got.Ended != want.Ended {
			t.Errorf("take %d: %s at %s with %d marks, want %s at %s with %d", i+1, got.Ending, got.Ended, len(got.Line()), want.Ending, want.Ended, len(want.Line()))
		}
	}
}
