package cup

import (
	"math"
	"time"

	"barline/brew"
)

// Cooling is how something cools by itself: towards the air, ever slower.
// After each Tau, 37 % of what it is warmer than the air is left (Newton's
// law). Where much steam leaves, the first minutes go faster than this.
type Cooling struct {
	Air brew.Celsius
	Tau time.Duration
}

// At returns the temperature some time after it was at from.
func (c Cooling) At(from brew.Celsius, after time.Duration) brew.Celsius {
	return c.Air + (from-c.Air)*brew.Celsius(math.Exp(-after.Seconds()/c.Tau.Seconds()))
}

// Takes returns how long it takes from one temperature down to another. The
// error is a *Slip where it never gets there: down to the air's temperature
// or below, or up.
func (c Cooling) Takes(from, to brew.Celsius) (time.Duration, error) {
	switch {
	case !(from >= to):
		return 0, slip(TooHot, "", "", "%s does not cool to %s", from, to)
	case !(to > c.Air):
		return 0, slip(TooCold, "", "ask for more than the air has", "nothing cools to %s in air of %s", to, c.Air)
	case c.Tau <= 0:
		return 0, slip(OutOfRange, "", "", "a time constant of %v is not above zero", c.Tau)
	}
	return seconds(c.Tau.Seconds() * math.Log(float64((from-c.Air)/(to-c.Air)))), nil
}

// seconds returns a length of time given in seconds.
func seconds(s float64) time.Duration { return time.Duration(math.Round(s * float64(time.Second))) }
