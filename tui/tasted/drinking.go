package tasted

import (
	"fmt"
	"math"
	"time"

	"barline/brew"
	"barline/brew/cup"
)

// drinks returns how many minutes after the first water the cup is liked best,
// and between which two in three people like it: by one mug that was measured,
// so that a thin cup is sooner. It is false where nothing can be said.
func drinks(p *brew.Plan) (best, from, to int, ok bool) {
	slurry, err := cup.SlurryOf(cup.Steep{Water: p.Water.Grams(), Kettle: p.Temperature, Dose: p.Dose.Grams(), Grounds: cup.UsualAir})
	if err != nil {
		return 0, 0, 0, false
	}
	w, err := cup.Drinkable(slurry.At, cup.UsualAir)
	if err != nil || w.Wait == 0 {
		return 0, 0, 0, false
	}
	minutes := func(d time.Duration) int { return int(math.Round(d.Minutes())) }
	return minutes(w.Wait), minutes(w.Low), minutes(w.High), true
}

// Drinking says how long the cup cools until it is liked best. It is empty
// where nothing can be said.
func Drinking(p *brew.Plan) string {
	best, from, to, ok := drinks(p)
	if !ok {
		return ""
	}
	return fmt.Sprintf("to drink at %s: about %d min after the first water, %d to %d; an estimate", cup.PreferredDrinking, best, from, to)
}

// Waiting says how long the cup must still cool, so long after the first water,
// and when that will be said otherwise. Minutes are counted down to the full
// one above; none is as fine as a second, for the estimate is good to some
// minutes. There is no next where it has cooled for good, and no text where
// nothing can be said.
func Waiting(p *brew.Plan, since time.Duration) (text string, next time.Duration, goesOn bool) {
	best, from, to, ok := drinks(p)
	if !ok {
		return "", 0, false
	}
	past := int(max(since, 0) / time.Minute)
	next, goesOn = time.Duration(past+1)*time.Minute, true
	const estimate = "; an estimate"
	switch {
	case past < from:
		text = fmt.Sprintf("to drink at %s: in about %d min (%d to %d)", cup.PreferredDrinking, best-past, from-past, to-past)
	case past < best:
		text = fmt.Sprintf("to drink now, as two in three like it; at %s in about %d min", cup.PreferredDrinking, best-past)
	case past < to:
		text = fmt.Sprintf("to drink now, as most like it; for about %d min", to-past)
	default:
		text, next, goesOn = "the cup is colder by now than most like it", 0, false
	}
	return text + estimate, next, goesOn
}
