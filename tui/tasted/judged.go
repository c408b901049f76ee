package tasted

import (
	"math"
	"time"

	"barline/brew"
	"barline/brew/cup"
	"barline/brew/drift"
)

// part is a drift of the cup, with what published figures say that it does.
type part struct {
	cup.Drifted
	change cup.Change
}

// judged gathers what a cup is judged by: the drifts of contact and of the
// press, and of the water where it was weighed.
func judged(d drift.Debrief, p *brew.Plan, read brew.Percent) cup.Cup {
	c := cup.Cup{Reading: cup.Strength, Read: cup.UsualInstruments.Read(cup.Strength, float64(read)), Aim: float64(p.Aim.Strength)}
	for _, part := range steeped(d, p) {
		c.Drifts = append(c.Drifts, part.Drifted)
	}
	if off, ok := poured(d, p); ok {
		by := cup.Drifted{Cause: cup.Poured, By: off, Off: math.Abs(off) > tooMuch(p), Person: off}
		by.Effect, _ = cup.WaterEffect(p)
		c.Drifts = append(c.Drifts, by)
	}
	return c
}

// steeped returns by how much the contact drifted, and whose doing that was.
// Where a press ends it, the contact up to the press and the press are apart:
// while it is pressed the liquor leaves the grounds, so that a second of it does
// less than one of steeping, and it is the hands' alone.
func steeped(d drift.Debrief, p *brew.Plan) []part {
	if d.Contact == nil || !d.Contact.Measured {
		return nil
	}
	whole, until := d.Contact.Drift, p.Contact
	press, begins, pressed := pressOf(d, p)
	off := d.Contact.Verdict.Off()
	if pressed {
		whole, until = whole-press.Drift, begins.Written
		off = begins.Cup.Off()
	}
	person, bed := hands(d, until)
	steep := part{Drifted: cup.Drifted{Cause: cup.Contact, By: whole.Seconds(), Off: off, Person: person, Bed: bed}}
	if change, ok := cup.ContactEffect(p, whole); ok {
		steep.change, steep.Effect = change, change.PerSecond()
	}
	if !pressed {
		return []part{steep}
	}
	by := part{Drifted: cup.Drifted{Cause: cup.Pressing, By: press.Drift.Seconds(), Off: press.Verdict.Off(), Person: press.Drift.Seconds()}}
	if change, ok := cup.PressEffect(p, press.Drift); ok {
		by.change, by.Effect = change, change.PerSecond()
	}
	return []part{steep, by}
}

// pressOf returns the press that ends the contact, as marks tell it, and the
// row of its start.
func pressOf(d drift.Debrief, p *brew.Plan) (press drift.Length, begins drift.Row, ok bool) {
	for _, l := range d.Lengths {
		if l.Action == brew.Press && l.Measured {
			press, ok = l, true
		}
	}
	if !ok {
		return press, begins, false
	}
	for _, r := range d.Rows {
		if r.IsMarked() && p.Beats[r.Beat].Has(press.Cue, brew.StartEdge) {
			return press, r, true
		}
	}
	return press, begins, false
}

// tooMuch is by how many grams the water may be off: 1 % of it, at least a
// gram; common practice, no source.
func tooMuch(p *brew.Plan) float64 { return max(1, p.Water.Grams()/100) }

// hands returns how many seconds of what the contact drifted were made by the
// person's hands and by the bed: the slips of the beats up to its end.
func hands(d drift.Debrief, until time.Duration) (person, bed float64) {
	for _, r := range d.Rows {
		if !r.IsMarked() || r.Written > until+time.Millisecond {
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
		if w := r.Weight; w != nil && w.HasTarget && p.Cues[r.Cue].Water == last(p) {
			grams, ok = w.Off.Grams(), true
		}
	}
	return grams, ok
}

// last is the water on the coffee at the end of the plan's cues.
func last(p *brew.Plan) (water brew.Mass) {
	for _, c := range p.Cues {
		water = max(water, c.Water)
	}
	return water
}

// AsPoured returns the plan with the water that was weighed where it was, by
// which a cup is worked out: in full immersion more water of the same strength
// holds more of the coffee.
func AsPoured(d drift.Debrief, p *brew.Plan) *brew.Plan {
	off, ok := poured(d, p)
	if !ok || off == 0 {
		return p
	}
	out := *p
	out.Water += brew.Mass(math.Round(off * float64(brew.Gram)))
	return &out
}
