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

// OneRefractometer says what ReadTogether takes for granted.
const OneRefractometer = "strength and last drops are taken to be read off one refractometer, so that they err together"

// ReadTogether returns which of the figures err together: strength and last
// drops, where both were read, for a bar has one refractometer, and what its
// maker states is how far it reads high or low (JCGM 100:2008, F.1.2.3; its
// number from memory). That is the careful choice: the extraction of a steep
// that drained is then less sure than if they erred apart. The weights are taken
// to err apart: what is stated of a scale is the step that it shows.
func (f Figures) ReadTogether() []Correlation {
	_, strength := f[Strength]
	_, last := f[Last]
	if !strength || !last {
		return nil
	}
	return []Correlation{{Strength, Last, 1}}
}

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
