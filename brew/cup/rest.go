package cup

import (
	"cmp"
	"fmt"
	"time"

	"barline/brew"
)

// HalfMinute is the rule of thumb for how long a kettle rests off the boil:
// common practice, no source. It says nothing of the kettle or the altitude.
const HalfMinute = 30 * time.Second

// What a kettle cools like where nobody measured it. The quickest is an open
// mug (time constant of the readings in Drinkable); the slowest stands for a
// lidded kettle full of water, and is a guess: no published constant of a
// closed kettle was found.
const (
	quickestTau = 30 * time.Minute
	slowestTau  = 90 * time.Minute
)

// Rest is how long to wait between the boil and the pour.
type Rest struct {
	Wait       time.Duration // 0 where not calibrated: there is only the range
	Low, High  time.Duration // calibrated, 95 in 100 cases
	Calibrated bool
	Why        string // what the figures rest on
}

// RestFor returns how long water that boils at the bar's boiling point takes
// to cool to a temperature, in air of another. The error is a *Slip for a
// temperature above the boiling point (see Hotter) or not above the air's.
//
// A kettle that was calibrated answers with its time constant and the interval
// that follows from its uncertainty. For the zero Kettle the answer is a range
// and says so.
func RestFor(boils, to, air brew.Celsius, k Kettle) (Rest, error) {
	if to.Above(boils) {
		return Rest{}, slip(TooHot, "", cmp.Or(to.OtherScale(), "ask for "+boils.String()+" or less"), "water cannot have %s where it boils at %s", to, boils)
	}
	to = min(to, boils)
	mug, err := Cooling{air, quickestTau}.Takes(boils, to)
	if err != nil {
		return Rest{}, err
	}
	takes := func(tau time.Duration) time.Duration { // in proportion
		return seconds(mug.Seconds() * tau.Seconds() / quickestTau.Seconds())
	}
	if k.Tau == 0 {
		return Rest{Low: takes(quickestTau), High: takes(slowestTau), Why: "no reading of this kettle: from an open mug to a lidded kettle, the latter a guess"}, nil
	}
	wait, off := takes(k.Tau), k.U.Seconds()/k.Tau.Seconds()*k.half()
	return Rest{
		Wait: wait, Low: seconds(wait.Seconds() * max(0, 1-off)), High: seconds(wait.Seconds() * (1 + off)), Calibrated: true,
		Why: fmt.Sprintf("%s, time constant %.1f min", k.known(), k.Tau.Minutes()),
	}, nil
}

// known says how the kettle is known.
func (k Kettle) known() string {
	if k.Readings == 0 {
		return "the kettle as it was calibrated"
	}
	return counted(k.Readings) + " of this kettle"
}

// counted returns a number of readings in words.
func counted(n int) string {
	if n == 1 {
		return "1 reading"
	}
	return fmt.Sprintf("%d readings", n)
}
