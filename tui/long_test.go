package tui_test

import (
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"barline/brew"
	"barline/tui"
	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
)

// calls notes when each text of a kind was first written.
type calls struct {
	mu    sync.Mutex
	began time.Time
	kind  *regexp.Regexp
	first map[string]time.Duration
}

func (c *calls) Write(b []byte) (int, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, text := range c.kind.FindAll(b, -1) {
		if _, known := c.first[string(text)]; !known {
			c.first[string(text)] = time.Since(c.began)
		}
	}
	return len(b), nil
}

// longBrew returns the plan of a brew of about a length, with as many steps as
// a recipe may have, at any millisecond of a second.
func longBrew(t *testing.T, length time.Duration) *brew.Plan {
	t.Helper()
	d := rand.New(rand.NewPCG(10, 1))
	r := brew.Recipe{
		Name: "A long brew", Method: brew.OtherMethod, Dose: 10 * brew.Gram, Water: 150 * brew.Gram, Temperature: 93, Grind: "coarse",
		Steps: []brew.Step{{Action: brew.Pour, Amount: 150 * brew.Gram, Over: 10 * s, Mark: brew.MarkNone}},
	}
	each := length / (brew.MostSteps - 1)
	for n := range brew.MostSteps - 1 {
		over := each/2 + time.Duration(d.Int64N(int64(each/time.Millisecond)))*time.Millisecond
		r.Steps = append(r.Steps, brew.Step{Action: brew.Do, Text: fmt.Sprintf("c%03d", n+1), Over: over})
	}
	plan, err := brew.NewPlan(r, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// longest returns how long a long brew is: an hour in every run, ten where
// BARLINE_CAMPAIGN is set.
func longest(t *testing.T) time.Duration {
	if os.Getenv("BARLINE_CAMPAIGN") == "" {
		t.Log("SHORT: one hour and not ten; BARLINE_CAMPAIGN=1 does ten")
		return time.Hour
	}
	return 10 * time.Hour
}

// Over hours lateness does not add up: the last cue comes as punctually as the
// first.
func TestTheLastCueOfALongBrewIsAsPunctualAsTheFirst(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED, NOT TESTED: hours take a while")
	}
	plan := longBrew(t, longest(t))
	synctest.Test(t, func(t *testing.T) {
		ses := &session{t: t, began: time.Now(), done: make(chan tui.Model, 1)}
		out := &calls{began: ses.began, kind: regexp.MustCompile(`c\d\d\d, by`), first: map[string]time.Duration{}}
		now := func() time.Duration { return time.Since(ses.began) }
		var mu sync.Mutex
		var rung []time.Duration
		opt := live.Options{Plans: []*brew.Plan{plan}, Title: plan.Name, Keys: live.DefaultKeys(), Now: now, Bell: func(strokes int) {
			mu.Lock()
			defer mu.Unlock()
			rung = append(rung, now())
		}}
		in, keys := io.Pipe()
		ses.keys = keys
		p := tui.NewProgram(tui.OpenLive(tui.Options{Now: now}, live.New(opt)), tea.WithInput(in), tea.WithOutput(out), tea.WithoutSignalHandler())
		go func() {
			end, err := p.Run()
			if err != nil {
				t.Error(err)
			}
			ses.done <- end.(tui.Model)
		}()
		p.Send(tea.WindowSizeMsg{Width: 40, Height: 12})
		time.Sleep(3210 * time.Microsecond)
		ses.press(" ")
		zero := now()
		ses.until(zero + plan.End + brew.FinishAfter + time.Second)
		ses.leave()
		var late []time.Duration
		for n, c := range plan.Cues[1:] {
			at, ok := out.first[c.Prompt+", by"]
			if !ok || at < zero+c.Start || at > zero+c.Start+frameTime {
				t.Errorf("%s came at %s (%t), want %s", c.Prompt, at, ok, zero+c.Start)
			}
			late = append(late, at-zero-c.Start)
			if !slices.Contains(rung, zero+c.Start) {
				t.Errorf("the bell did not ring for cue %d at %s", n+1, zero+c.Start)
			}
		}
		t.Logf("%d cues in %s; the first hundred are late by %s at most, the last hundred by %s", len(late), plan.End.Round(time.Minute), slices.Max(late[:100]), slices.Max(late[len(late)-100:]))
	})
}
