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
	"time"

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
	out := read(p, r)
	if text := contact(d, p); text != "" {
		out = append(out, Line{Text: text})
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

// contact says what a contact that was off should have done, "" where it was
// not, or nobody knows.
func contact(d drift.Debrief, p *brew.Plan) string {
	if d.Contact == nil || !d.Contact.Measured || !d.Contact.Verdict.Off() {
		return ""
	}
	change, ok := cup.ContactEffect(p, d.Contact.Drift)
	if !ok {
		return ""
	}
	return change.Text
}

// judged gathers what a cup is judged by: the drift of contact, and of the
// water where it was weighed. A press that went on for long is in the contact.
func judged(d drift.Debrief, p *brew.Plan, read brew.Percent) cup.Cup {
	c := cup.Cup{Reading: cup.Strength, Read: cup.UsualInstruments.Read(cup.Strength, float64(read)), Aim: float64(p.Aim.Strength)}
	if l := d.Contact; l != nil && l.Measured {
		person, bed := hands(d, p)
		by := cup.Drifted{Cause: cup.Contact, By: l.Drift.Seconds(), Off: l.Verdict.Off(), Person: person, Bed: bed}
		if change, ok := cup.ContactEffect(p, l.Drift); ok {
			by.Effect = change.PerSecond()
		}
		c.Drifts = append(c.Drifts, by)
	}
	if off, ok := poured(d, p); ok {
		by := cup.Drifted{Cause: cup.Poured, By: off, Off: math.Abs(off) > tooMuch(p), Person: off}
		by.Effect, _ = cup.WaterEffect(p)
		c.Drifts = append(c.Drifts, by)
	}
	return c
}

// tooMuch is by how many grams the water may be off: 1 % of it, at least a
// gram; common practice, no source.
func tooMuch(p *brew.Plan) float64 { return max(1, p.Water.Grams()/100) }

// hands returns how many seconds of what the contact drifted were made by the
// person's hands and by the bed: the slips of the beats up to its end.
func hands(d drift.Debrief, p *brew.Plan) (person, bed float64) {
	for _, r := range d.Rows {
		if !r.IsMarked() || r.Written > p.Contact+time.Millisecond {
			continue
		}
		if r.Owner == brew.Bed {
			bed += r.Slip.Seconds()
		} else {
			person += r.Slip.Seconds()
		}
	}
	return person, bed
}

// poured returns by how many grams the water on the coffee was off: what the
// scale read at the end of the last pour that was weighed, if that is the last
// of all.
func poured(d drift.Debrief, p *brew.Plan) (grams float64, ok bool) {
	for _, r := range d.Rows {
		if r.Action != brew.Pour || r.Edge != brew.EndEdge {
			continue
		}
		grams, ok = 0, false
		if w := r.Weight; w != nil && w.HasTarget && p.Cues[r.Cue].Water == p.Water {
			grams, ok = w.Off.Grams(), true
		}
	}
	return grams, ok
}

// Drinking says how long the cup cools until it is liked best, and between when
// two in three people like it: by one mug that was measured, so that a thin cup
// is sooner. It is empty where nothing can be said.
func Drinking(p *brew.Plan) string {
	slurry, err := cup.SlurryOf(cup.Steep{Water: p.Water.Grams(), Kettle: p.Temperature, Dose: p.Dose.Grams(), Grounds: cup.UsualAir})
	if err != nil {
		return ""
	}
	w, err := cup.Drinkable(slurry.At, cup.UsualAir)
	if err != nil || w.Wait == 0 {
		return ""
	}
	minutes := func(d time.Duration) int { return int(math.Round(d.Minutes())) }
	return fmt.Sprintf("to drink at %s: about %d min after the first water, %d to %d; an estimate",
		cup.PreferredDrinking, minutes(w.Wait), minutes(w.Low), minutes(w.High))
}

// Past returns a brew as cup.Learn takes it. A figure that was not read is 0,
// a drift that was not kept is absent: of contact and press those that marks
// tell, of the water what was weighed, of the kettle what was set.
func Past(d drift.Debrief, p *brew.Plan, lot string, kettle *brew.Celsius, r brew.Reading) cup.Past {
	out := cup.Past{Version: p.Version, Lot: lot, Drifts: map[cup.Cause]float64{}}
	if r.Strength != nil {
		out.Strength = *r.Strength
	}
	if e, usual, err := cup.ExtractionOf(p, r, cup.UsualInstruments); err == nil && !usual {
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
