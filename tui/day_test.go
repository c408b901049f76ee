package tui_test

import (
	"io"
	"runtime"
	"testing"
	"testing/synctest"
	"time"

	"barline/brew"
	"barline/tui"
	"barline/tui/live"
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
)

// held returns how many bytes the program holds.
func held() int {
	runtime.GC()
	runtime.GC() // what was only held by finalizers and pools, too
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int(m.HeapAlloc)
}

// A bar that brews all day from the shelf holds no more than what it says of
// each brew in the end.
func TestADayOfBrewsHoldsLittleMemory(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED, NOT TESTED: 300 brews take a while")
	}
	const most = 512 // bytes a brew
	plan := quick(t)
	synctest.Test(t, func(t *testing.T) {
		ses := &session{t: t, began: time.Now(), done: make(chan tui.Model, 1)}
		now := func() time.Duration { return time.Since(ses.began) }
		in, keys := io.Pipe()
		ses.keys = keys
		m := tui.Open(tui.Options{
			Now: now, Recipes: []pages.Recipe{{Stem: "press", Name: plan.Name, Plan: plan}},
			Brew: func(r pages.Recipe) live.Options {
				return live.Options{Plans: []*brew.Plan{r.Plan.WithMarks(brew.MarksAsked)}, Title: r.Name, Keys: live.DefaultKeys(), Now: now, Recorder: &keeper{}}
			},
		})
		p := tui.NewProgram(m, tea.WithInput(in), tea.WithOutput(io.Discard), tea.WithoutSignalHandler())
		go func() {
			end, err := p.Run()
			if err != nil {
				t.Error(err)
			}
			ses.done <- end.(tui.Model)
		}()
		p.Send(tea.WindowSizeMsg{Width: 80, Height: 24})
		after := map[int]int{}
		for n := 1; n <= 300; n++ {
			ses.brewOnce()
			if n == 10 || n == 100 || n == 300 {
				after[n] = held()
			}
		}
		end := ses.quit()
		for n, page := range end.Brewed() {
			if how, _, _ := page.Timeline().Lane(0).Ending(); how != brew.Finished {
				t.Errorf("brew %d of the latest: %q", n, how)
			}
		}
		if all := end.Earlier() + len(end.Brewed()); all != 300 {
			t.Errorf("%d brews, want 300", all)
		}
		t.Logf("after 10 brews %d kB, after 100 %d kB, after 300 %d kB: %d bytes a brew", after[10]/1000, after[100]/1000, after[300]/1000, (after[300]-after[100])/200)
		if each := (after[300] - after[100]) / 200; each > most {
			t.Errorf("each brew goes on holding %d bytes, want at most %d", each, most)
		}
	})
}

// quick returns the plan of a brew of nine steps and four marks that is over
// in nine seconds.
func quick(t *testing.T) *brew.Plan {
	t.Helper()
	r := brew.Recipe{Name: "Nine steps", Method: brew.Cone, Dose: 10 * brew.Gram, Water: 160 * brew.Gram, Temperature: 93, Grind: "medium"}
	for range 4 {
		r.Steps = append(r.Steps, brew.Step{Action: brew.Pour, Amount: 40 * brew.Gram, Over: s}, brew.Step{Action: brew.Swirl, Text: "gently", Over: s})
	}
	r.Steps = append(r.Steps, brew.Step{Action: brew.Serve, Over: s, Mark: brew.MarkNone})
	plan, err := brew.NewPlan(r, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// brewOnce brews the recipe on which the shelf stands, with its four marks,
// and leaves its debrief.
func (s *session) brewOnce() {
	for _, key := range []string{"\r", " ", "\r", " ", "\r", " ", "\r", "q"} {
		time.Sleep(2 * time.Second)
		s.press(key)
	}
}
