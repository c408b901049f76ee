package brew_test

import (
	"slices"
	"strings"
	"time"

	"pgregory.net/rapid"

	"barline/brew"
)

// writer draws a valid recipe step by step. It keeps by itself what the
// checks ask for, so that it is a second opinion on them.
type writer struct {
	t     *rapid.T
	steps []brew.Step

	last time.Duration // when the last step of all ends
	prev time.Duration // when the step before starts
	busy time.Duration // when the last busy step ends
	flow time.Duration // when the last pour ends

	onScale, sealed bool
	reading, water  brew.Mass
}

// drawRecipe draws a recipe of up to a dozen steps that can be planned.
func drawRecipe(t *rapid.T) brew.Recipe {
	w := &writer{t: t, onScale: true}
	n := rapid.IntRange(1, 12).Draw(t, "steps")
	for len(w.steps) < n {
		w.write(w.action())
	}
	if w.water == 0 {
		if !w.onScale {
			w.write(brew.Tare)
		}
		w.write(brew.Pour)
	}
	r := brew.Recipe{Name: "Quayside drawn", Dose: 14 * g, Water: w.water, Temperature: 93, Steps: w.steps}
	r.Method = rapid.SampledFrom(brew.Methods()).Draw(t, "method")
	if rapid.Bool().Draw(t, "has a window") {
		r.Window = w.window()
	}
	return r
}

// action draws what can be done as things stand: a pour more often than not
// at first, no pour off the scale, no flip without a seal.
func (w *writer) action() brew.Action {
	if w.onScale && rapid.IntRange(0, 2).Draw(w.t, "pours") > min(len(w.steps), 1) {
		return brew.Pour
	}
	var can []brew.Action
	for _, u := range brew.Actions() {
		if (u.Action != brew.Pour || w.onScale) && (u.Action != brew.Flip || w.sealed) {
			can = append(can, u.Action)
		}
	}
	return rapid.SampledFrom(can).Draw(w.t, "action")
}

func (w *writer) write(a brew.Action) {
	usual, _ := a.Usual()
	step := brew.Step{Action: a}
	if a == brew.Do || rapid.IntRange(0, 3).Draw(w.t, "has a text") == 0 && usual.Kind == brew.TextValue {
		step.Text = rapid.SampledFrom([]string{"as ever", "{dose} at a time", "until it is done"}).Draw(w.t, "text")
	}
	if rapid.IntRange(0, 5).Draw(w.t, "has an id") == 0 {
		step.ID = strings.Repeat("i", len(w.steps)+1)
	}
	step.Mark = rapid.SampledFrom([]brew.Marks{"", "", brew.MarkStart, brew.MarkEnd, brew.MarkBoth, brew.MarkNone}).Draw(w.t, "mark")
	step.Hands = rapid.SampledFrom([]brew.Hands{"", "", "", "", brew.Busy, brew.Free}).Draw(w.t, "hands")
	if rapid.Bool().Draw(w.t, "has windows") {
		step.Start, step.End = w.window(), w.window()
	}
	amount := w.weigh(&step)
	start := w.anchor(&step)
	end := start + w.length(&step, amount, usual)

	w.prev, w.last = start, max(w.last, end)
	if step.Hands == brew.Busy || step.Hands == "" && usual.Hands == brew.Busy {
		w.busy = max(w.busy, end)
	}
	if a == brew.Pour {
		w.flow = end
	}
	w.sealed = a == brew.Seal || w.sealed && a != brew.Open
	w.steps = append(w.steps, step)
}

func (w *writer) window() *brew.Window {
	return &brew.Window{Early: w.tenths("early", 0, 50), Late: w.tenths("late", 0, 50)}
}

func (w *writer) tenths(what string, least, most int) time.Duration {
	return time.Duration(rapid.IntRange(least, most).Draw(w.t, what)) * s / 10
}

// weigh draws the amount of a pour or a bypass and returns what it adds.
func (w *writer) weigh(step *brew.Step) brew.Mass {
	switch step.Action {
	case brew.Tare:
		w.reading, w.onScale = 0, true
	case brew.Lift, brew.Flip:
		w.reading, w.onScale = 0, false
	case brew.Pour, brew.Bypass:
		added := brew.Mass(rapid.IntRange(1, 900).Draw(w.t, "tenths of a gram")) * g / 10
		if step.Amount = added; step.Action == brew.Bypass {
			if w.onScale {
				w.reading += added
			}
			return added
		}
		if w.water == 0 {
			added += g // so that the water is a gram at the least
		}
		w.water, w.reading = w.water+added, w.reading+added
		if step.Amount = added; rapid.Bool().Draw(w.t, "to a reading") {
			step.To, step.Amount = true, w.reading
		}
		return added
	}
	return 0
}

// anchor draws what the step hangs on and returns when it starts.
func (w *writer) anchor(step *brew.Step) time.Duration {
	if len(w.steps) == 0 {
		return 0
	}
	switch rapid.IntRange(0, 4).Draw(w.t, "anchor") {
	case 0:
		step.Anchor, step.Offset = brew.After, w.tenths("after", 0, 200)
		return w.last + step.Offset
	case 1, 2:
		step.Anchor, step.Offset = brew.At, max(w.prev, w.busy)
		if step.Action == brew.Pour {
			step.Offset = max(step.Offset, w.flow)
		}
		if rapid.Bool().Draw(w.t, "behind all") {
			step.Offset = w.last
		}
		step.Offset += w.tenths("later", 0, 200)
		return step.Offset
	}
	return w.last
}

// length draws how long the step takes, or leaves it out.
func (w *writer) length(step *brew.Step, amount brew.Mass, usual brew.Usual) time.Duration {
	flows := step.Action == brew.Pour || step.Action == brew.Bypass
	if (usual.Over > 0 || flows) && rapid.IntRange(0, 2).Draw(w.t, "leaves the length out") == 0 {
		if flows {
			return time.Duration((amount+6*g-1)/(6*g)) * s
		}
		return usual.Over
	}
	step.Over = w.tenths("over", 1, 400)
	return step.Over
}

// overlaps reports whether two spans have a moment in common.
func overlaps(a, b brew.Cue) bool { return max(a.Start, b.Start) < min(a.End, b.End) }

// edgesOf returns the edges of every beat.
func edgesOf(p *brew.Plan) (edges []brew.Point) {
	for _, b := range p.Beats {
		edges = append(edges, b.Point)
		if b.Also != nil {
			edges = append(edges, *b.Also)
		}
	}
	slices.SortFunc(edges, func(a, b brew.Point) int { return 2*(a.Cue-b.Cue) - strings.Compare(string(a.Edge), string(b.Edge)) })
	return edges
}
