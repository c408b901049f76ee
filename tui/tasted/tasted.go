// Package tasted sets what was read of a cup against how it was brewed: its
// extraction, the recipe's aim, what the drifts should have done, whose a miss
// was, and when it can be drunk. It is pure, and leaves the figures to brew/cup
// and the timings to brew/drift.
package tasted

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"barline/brew"
	"barline/brew/cup"
	"barline/brew/drift"
)

// Line is one thing that is said of a cup.
type Line struct {
	Text string
	Care bool // a word of care, or a reading that cannot be
}

// Lines says what there is to say of a brew's cup: nothing that no reading and
// no published figure supports. A brew that was not finished has no cup.
func Lines(d drift.Debrief, p *brew.Plan, r brew.Reading) []Line {
	if d.Ending != brew.Finished {
		return nil
	}
	p = AsPoured(d, p)
	out := read(p, r)
	for _, part := range steeped(d, p) {
		if part.Off && part.change.Text != "" && math.Abs(part.By) >= 0.05 {
			out = append(out, Line{Text: part.change.Text})
		}
	}
	if r.Strength != nil && p.Aim.Strength > 0 {
		if v := cup.Judge(judged(d, p, *r.Strength)); v.Whose != cup.AsAimed {
			out = append(out, Line{Text: v.Text})
		}
	}
	return out
}

// read says the strength and the extraction that was read, against the aim.
func read(p *brew.Plan, r brew.Reading) []Line {
	if r.Strength == nil {
		return nil
	}
	strength := cup.UsualInstruments.Read(cup.Strength, float64(*r.Strength))
	extraction, usual, err := cup.ExtractionOf(p, r, cup.UsualInstruments)
	var s *cup.Slip
	switch {
	case errors.As(err, &s) && s.Kind != cup.TooFew:
		return []Line{{Text: s.Message, Care: true}, {Text: s.Hint}}
	case err != nil:
		extraction = cup.Quantity{}
	}
	text := "strength " + strength.Words("%")
	if err == nil {
		balance, _ := cup.BalanceOf(p.Method)
		text += fmt.Sprintf(", extraction %s by %s", extraction.Words("%"), balance)
	}
	if usual {
		text += " (no beverage was weighed: by what grounds usually keep)"
	}
	out := []Line{{Text: text}}
	if p.Aim == (brew.Aim{}) {
		return out
	}
	return append(out, Line{Text: Against(strength, extraction, p.Aim)})
}

// Against says how a cup stands to an aim, and which way to move: common
// practice, one change at a time.
func Against(strength, extraction cup.Quantity, aim brew.Aim) string {
	moves := cup.Moves(strength, extraction, aim)
	if len(moves) == 0 {
		return "as aimed (" + Aim(aim) + "), as far as it can be read"
	}
	text := moves[0].Why + "; common practice is to " + moves[0].Do
	for _, m := range moves[1:] {
		text += ", or " + m.Do
	}
	if len(moves) > 1 {
		text += ": one change at a time"
	}
	return text
}

// Aim says what a recipe aims at, "" for nothing.
func Aim(aim brew.Aim) string {
	var parts []string
	if aim.Strength > 0 {
		parts = append(parts, fmt.Sprintf("%.2f %% strength", float64(aim.Strength)))
	}
	if aim.Extraction > 0 {
		parts = append(parts, fmt.Sprintf("%.3g %% extraction", float64(aim.Extraction)))
	}
	return strings.Join(parts, ", ")
}

// Past returns a brew as cup.Learn takes it. A figure that was not read is 0,
// a drift that was not kept is absent: of contact and press those that marks
// tell, of the water what was weighed, of the kettle what was set.
func Past(d drift.Debrief, p *brew.Plan, lot string, kettle *brew.Celsius, r brew.Reading) cup.Past {
	weighed := AsPoured(d, p)
	out := cup.Past{Version: p.Version, Lot: lot, Drifts: map[cup.Cause]float64{}}
	if r.Strength != nil {
		out.Strength = *r.Strength
	}
	if e, usual, err := cup.ExtractionOf(weighed, r, cup.UsualInstruments); err == nil && !usual {
		out.Extraction = brew.Percent(e.Value)
	}
	if l := d.Contact; l != nil && l.Measured {
		out.Drifts[cup.Contact] = l.Drift.Seconds()
	}
	for _, l := range d.Lengths {
		if l.Action == brew.Press && l.Measured {
			out.Drifts[cup.Pressing] = l.Drift.Seconds()
		}
	}
	if off, ok := poured(d, p); ok {
		out.Drifts[cup.Poured] = off
	}
	if kettle != nil {
		out.Drifts[cup.Heated] = float64(*kettle - p.Temperature)
	}
	return out
}
