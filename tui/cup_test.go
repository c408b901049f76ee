package tui_test

import (
	"testing"
	"testing/synctest"
	"time"

	"barline/brew"
	"barline/tui"
	"barline/tui/live"
	"barline/tui/pages"
)

// The cup page in the whole program, in simulated time.

// oneCup is a record of one cup of each recipe, whose answer takes a while.
type oneCup struct{ plan *brew.Plan }

func (o oneCup) Cups(string) ([]pages.CupRead, error) {
	time.Sleep(200 * time.Millisecond)
	beverage, strength := 190*brew.Gram, brew.Percent(1.3)
	return []pages.CupRead{{Plan: o.plan, Reading: brew.Reading{Beverage: &beverage, Strength: &strength}}}, nil
}

func TestFromTheSheetToTheCupAndBack(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		ses := &session{t: t, began: time.Now(), done: make(chan tui.Model, 1)}
		now := func() time.Duration { return time.Since(ses.began) }
		ses.run(tui.Open(tui.Options{
			Now: now, Cups: oneCup{plan},
			Recipes: []pages.Recipe{{Name: "Quayside press", Line: "14 g to 210 g", Plan: plan, Recipe: brew.Recipe{Method: plan.Method, Dose: plan.Dose, Water: plan.Water}}},
			Brew:    func(r pages.Recipe) live.Options { return live.Options{Now: now} },
		}))
		time.Sleep(s)
		ses.step("\r", "get ready to brew")
		ses.step("c", "by immersion")
		time.Sleep(s)
		if _, ok := ses.out.first("○ before", 0); !ok {
			t.Error("the past cup is not in the picture")
		}
		ses.step("1", "1_ g")
		ses.step("q", "get ready to brew")
		ses.step("q", "what shall it be?")
		ses.quit()
	})
}

// Opened on a cup page, the program ends where it is left.
func TestACupPageAlone(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ses := &session{t: t, began: time.Now(), done: make(chan tui.Model, 1)}
		ses.run(tui.OpenCup(tui.Options{Now: func() time.Duration { return time.Since(ses.began) }}, pages.Recipe{}))
		time.Sleep(s)
		ses.step("1", "1_ g")
		ses.quit()
	})
}
