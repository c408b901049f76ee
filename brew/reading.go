package brew

// Reading is what was measured of a cup. What was left out is nil or empty.
type Reading struct {
	Beverage *Mass    // what is in the server or the cup
	Strength *Percent // dissolved coffee in the beverage, by mass
	Taste    string
}

// Empty reports whether nothing was measured.
func (r Reading) Empty() bool { return r.Beverage == nil && r.Strength == nil && r.Taste == "" }
