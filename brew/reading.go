package brew

// Reading is what was measured of a cup. What was left out is nil or empty.
type Reading struct {
	Beverage *Mass    // what is in the server or the cup
	Strength *Percent // dissolved coffee in the beverage, by mass
	Taste    string
}

// Empty reports whether nothing was measured.
func (r Reading) Empty() bool { return r.Beverage == nil && r.Strength == nil && r.Taste == "" }

// Correction is what somebody said of a cup at one time. What is nil was left
// as it is, whatever that may be by now; a beverage or a strength of 0, or a
// taste without words, takes back what was said of it before.
type Correction struct {
	Beverage *Mass
	Strength *Percent
	Taste    *string
}

// Empty reports whether nothing was said.
func (c Correction) Empty() bool { return c == (Correction{}) }

// Of returns the reading as it is after the correction.
func (c Correction) Of(r Reading) Reading {
	if c.Beverage != nil {
		r.Beverage = unlessZero(c.Beverage)
	}
	if c.Strength != nil {
		r.Strength = unlessZero(c.Strength)
	}
	if c.Taste != nil {
		r.Taste = *c.Taste
	}
	return r
}

func unlessZero[T comparable](v *T) *T {
	if *v == *new(T) {
		return nil
	}
	return v
}
