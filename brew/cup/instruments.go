package cup

// Instruments are what a bar reads its cups with, by the standard uncertainty
// that their makers state.
type Instruments struct {
	Scale         float64 // g
	Refractometer float64 // percentage points of strength
}

// UsualInstruments are a scale that shows 0.1 g, a step being taken for its
// uncertainty, and a refractometer good to 0.03 points: common practice, no
// source.
var UsualInstruments = Instruments{Scale: 0.1, Refractometer: 0.03}

// Read returns a figure with the uncertainty of the instrument that it was
// read with; one that no instrument reads is taken as exact.
func (i Instruments) Read(n Name, x float64) Quantity {
	switch n {
	case Dose, Water, Beverage:
		return Quantity{x, i.Scale}
	case Strength, Last:
		return Quantity{x, i.Refractometer}
	}
	return Exactly(x)
}
