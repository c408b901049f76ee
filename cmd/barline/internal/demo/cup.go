package demo

import (
	"math"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

// What the cups are like, in percent of strength and grams. Chosen to look
// like a bar's; common practice, no source.
const (
	// StrengthPerSecond is by how much a cup is stronger for each second that
	// water and coffee were together longer than written. It is planted
	// everywhere, within each lot.
	StrengthPerSecond = 0.004
	lotSpread         = 0.03 // standard deviation from lot to lot
	cupSpread         = 0.02 // from cup to cup, the refractometer's included
	retained          = 2.0  // what a gram of coffee keeps back
	poured            = 1.5  // standard deviation of the beverage, in grams
)

// How many of the finished brews are measured, and tasted.
const (
	measured = 0.4
	tasted   = 0.1
)

var tastes = []string{"bright, clean", "a little flat", "sweet, long", "thin", "round", "a touch bitter"}

// taste draws what was measured of a brew's cup.
func (y *year) taste(o order, lane brew.Lane) ([]journal.Reading, error) {
	weighs, speaks, more := y.draw.Float64() < measured, y.draw.Float64() < tasted, y.draw.NormFloat64()
	how, end, _ := lane.Ending()
	if how != brew.Finished {
		return nil, nil
	}
	cup := cup{year: y, by: o.person.name, taken: o.start.Add(end.Round(time.Second) + 4*time.Minute)}
	if weighs {
		weight, strength := round(beverage(lane.Plan())+poured*more, 1), round(y.strength(o, lane), 0.01)
		cup.add(journal.Reading{What: journal.BeverageWeight, Value: &weight})
		cup.add(journal.Reading{What: journal.Strength, Value: &strength})
	}
	if speaks {
		cup.add(journal.Reading{What: journal.Taste, Text: tastes[y.draw.IntN(len(tastes))]})
	}
	return cup.readings, cup.err
}

// beverage returns what runs into the server, in grams.
func beverage(p *brew.Plan) float64 {
	return p.Water.Grams() - retained*p.Dose.Grams()
}

// strength draws the strength of a cup: what the recipe aims at, its lot's own,
// and the time of contact.
func (y *year) strength(o order, lane brew.Lane) float64 {
	lot := y.lot(o)
	if _, known := o.dish.lots[lot]; !known {
		o.dish.lots[lot] = lotSpread * y.draw.NormFloat64()
	}
	s := float64(lane.Plan().Aim.Strength) + o.dish.lots[lot] + cupSpread*y.draw.NormFloat64()
	if contact, _, ok := lane.Contact(); ok {
		s += StrengthPerSecond * (contact - lane.Plan().Contact).Seconds()
	}
	return s
}

// cup collects readings, until one cannot have its id.
type cup struct {
	*year
	by       string
	taken    time.Time
	readings []journal.Reading
	err      error
}

func (c *cup) add(r journal.Reading) {
	r.Taken, r.By = c.taken, c.by
	if c.err == nil {
		r.ID, c.err = journal.NewID(c.taken, c.ids)
	}
	c.readings = append(c.readings, r)
}

// round returns x to a step of what is read off.
func round(x, step float64) float64 {
	per := math.Round(1 / step)
	return math.Round(x*per) / per
}
