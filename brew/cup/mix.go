package cup

import (
	"barline/brew"
)

// Part is something that takes part in a mixture's heat.
type Part struct {
	Grams float64
	Heat  float64 // specific, J/(g K), the same as kJ/(kg K)
	At    brew.Celsius
}

// Mix returns the temperature at which parts meet when no heat is lost to the
// air: Σ m·c·T / Σ m·c. Without any mass it is 0 °C.
func Mix(parts ...Part) brew.Celsius {
	var heat, capacity float64
	for _, p := range parts {
		capacity += p.Grams * p.Heat
		heat += p.Grams * p.Heat * float64(p.At)
	}
	if capacity == 0 {
		return 0
	}
	return brew.Celsius(heat / capacity)
}

// Specific heats of what a brewer is made of, in J/(g K). Handbook values from
// memory: good to a tenth.
const (
	GlassHeat   = 0.84
	SteelHeat   = 0.50
	CeramicHeat = 0.90
	PlasticHeat = 1.5
)

// GroundsHeat returns the specific heat of dry roasted coffee, in J/(g K):
// 1.099 + 0.0070·t (Schwartzberg 2002, read in two later works).
func GroundsHeat(at brew.Celsius) float64 { return 1.099 + 0.0070*float64(at) }

// What specific heats of coffee others give: 1.0 (Chandrasekar and Viswanathan
// 1999) to 1.9 (Cardoso 2018), read in later works, of green beans.
const (
	leastGroundsHeat = 1.0
	mostGroundsHeat  = 1.9
)

// Steep is hot water, grounds and what they are put into. Masses are in grams.
type Steep struct {
	Water   float64
	Kettle  brew.Celsius // the water's temperature as it leaves the spout
	Dose    float64
	Grounds brew.Celsius // the grounds' temperature: the room's
	Vessel  Part         // cold or warmed; none without mass
}

// Slurry is the temperature of water and grounds once they have met.
type Slurry struct {
	At        brew.Celsius
	Low, High brew.Celsius
	Why       string // what the range spans
}

// SlurryOf returns the temperature by heat balance. The range spans what is
// published of the grounds' specific heat, and the vessel from taking no part
// to taking all of it; where there is a vessel, At takes it wholly. Nothing is
// lost to the air here, so that all three are bounds from above once minutes
// have gone by; no published readings of slurries were found to set them
// against. The error is a *Slip for a mass or a temperature that cannot be.
func SlurryOf(s Steep) (Slurry, error) {
	if err := s.check(); err != nil {
		return Slurry{}, err
	}
	at := s.with(GroundsHeat((s.Kettle+s.Grounds)/2), s.Vessel)
	out := Slurry{At: at, Low: at, High: at, Why: "published heats of coffee differ, and nothing is counted as lost to the air"}
	vessels := []Part{s.Vessel}
	if s.Vessel.Grams > 0 {
		vessels = append(vessels, Part{})
		out.Why = "the vessel takes part from not at all to wholly; " + out.Why
	}
	for _, v := range vessels {
		for _, heat := range []float64{leastGroundsHeat, mostGroundsHeat} {
			t := s.with(heat, v)
			out.Low, out.High = min(out.Low, t), max(out.High, t)
		}
	}
	return out, nil
}

// with returns the mixture for one specific heat of the grounds. That of the
// water is taken halfway to the grounds' temperature.
func (s Steep) with(groundsHeat float64, vessel Part) brew.Celsius {
	water, _ := SpecificHeat((s.Kettle + s.Grounds) / 2)
	return Mix(Part{s.Water, water, s.Kettle}, Part{s.Dose, groundsHeat, s.Grounds}, vessel)
}

func (s Steep) check() error {
	if err := (Figures{Water: Exactly(s.Water), Dose: Exactly(s.Dose)}).check(); err != nil {
		return err
	}
	if err := temperature("water of", s.Kettle, 0, hottestLiquid); err != nil {
		return err
	}
	if err := temperature("grounds of", s.Grounds, -20, 60); err != nil {
		return err
	}
	if s.Vessel.Grams == 0 {
		return nil
	}
	if err := outside("a vessel of", s.Vessel.Grams, 0, 20000, " g"); err != nil {
		return err
	}
	if err := outside("a vessel's specific heat of", s.Vessel.Heat, 0.1, 5, " J/(g K)"); err != nil {
		return err
	}
	if err := temperature("a vessel of", s.Vessel.At, -20, hottestLiquid); err != nil {
		return err
	}
	return nil
}
