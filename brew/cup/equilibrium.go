package cup

import "barline/brew"

// Equilibrium is where a full immersion ends up when it is left alone, after
// Liang, Chan and Ristenpart 2021 (Scientific Reports 11:6904; numbers and
// equations read in a transcription of it): of what can dissolve at all, the
// part K is in the water, whatever the temperature between 80 °C and 99 °C.
type Equilibrium struct {
	K         float64 // share of what can dissolve that does
	Available float64 // what can dissolve, as a share of the dose: 0.30 is assumed there
}

// The equilibria that they measured: of one litre in a jug, K 0.717 ± 0.007,
// and of cupping bowls, caffeinated, 0.792 ± 0.004, and decaffeinated,
// 0.726 ± 0.006.
var (
	Jug          = Equilibrium{0.717, 0.30}
	Bowl         = Equilibrium{0.792, 0.30}
	BowlOfDecaff = Equilibrium{0.726, 0.30}
)

// Where their law was seen to hold.
const (
	LeastEquilibriumRatio = 3.0 // g of water on a g of coffee; at 2 it failed
	LeastEquilibriumHeat  = brew.Celsius(80)
	MostEquilibriumHeat   = brew.Celsius(99)
)

// Extraction returns the share of the dose that is dissolved in the end
// (equation 13), 0 to 1. It does not depend on the ratio.
func (e Equilibrium) Extraction() float64 { return e.K * e.Available }

// Strength returns the strength in the end at a ratio of water to coffee, in
// per cent (equation 11).
func (e Equilibrium) Strength(ratio float64) brew.Percent {
	return immersed(ratio, e.Extraction())
}

// Washed returns the extraction that drying the drained grounds would show, in
// per cent (equation 22): less than was dissolved, by what the retained liquid
// leaves behind, and more by what the oven drives off besides water. Both are
// grams on a gram of dry coffee; they measured 2.48 ± 0.19 and 0.0234 ± 0.006.
func (e Equilibrium) Washed(ratio, retained, volatile float64) brew.Percent {
	dissolved := e.Extraction()
	return brew.Percent(100 * (dissolved*(1-retained/(ratio+dissolved)) + volatile))
}

// immersed returns the strength in per cent of a full immersion in which a
// share of the dose is dissolved.
func immersed(ratio, share float64) brew.Percent { return brew.Percent(100 * share / (ratio + share)) }
