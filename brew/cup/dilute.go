package cup

import "math"

// Dilution is a beverage thinned with water.
type Dilution struct {
	Water    float64 // added, g
	Beverage float64 // afterwards, g
	Strength float64 // afterwards, %
}

// Dilute returns the water that brings a beverage, in grams, from one strength
// to another, in per cent. The solids stay: beverage·strength is the same
// before and after. The error is a *Slip; a beverage cannot be made stronger.
func Dilute(beverage, strength, to float64) (Dilution, error) {
	if err := (Figures{Beverage: Exactly(beverage), Strength: Exactly(strength)}).check(); err != nil {
		return Dilution{}, err
	}
	if s := Strength.check(Exactly(to)); s != nil {
		return Dilution{}, s
	}
	if to > strength {
		return Dilution{}, slip(OutOfRange, Strength, "brew it stronger, or ask for less", "water cannot bring %s %% up to %s %%", decimal(strength), decimal(to))
	}
	after := beverage * strength / to
	if s := Beverage.check(Exactly(after)); s != nil {
		return Dilution{}, s
	}
	return Dilution{Water: math.Max(0, after-beverage), Beverage: after, Strength: to}, nil
}

// Thin returns a beverage, in grams and per cent, with the given water added,
// in grams: what a bypass makes of it. The error is a *Slip.
func Thin(beverage, strength, water float64) (Dilution, error) {
	if err := (Figures{Beverage: Exactly(beverage), Strength: Exactly(strength)}).check(); err != nil {
		return Dilution{}, err
	}
	if s := outside(Water, water, 0, spans[Water].High, " g"); s != nil {
		return Dilution{}, s
	}
	return Dilution{Water: water, Beverage: beverage + water, Strength: strength * beverage / (beverage + water)}, nil
}

// Share is a beverage poured into cups of one size.
type Share struct {
	Cups float64 // as many as it makes, a part of the last one included
	Full int     // cups
	Rest float64 // that fills no cup, g
}

// ShareOut returns how many cups of a size a beverage makes, both in grams.
// The error is a *Slip.
func ShareOut(beverage, size float64) (Share, error) {
	if s := Beverage.check(Exactly(beverage)); s != nil {
		return Share{}, s
	}
	if s := outside("a cup of", size, 1, spans[Beverage].High, " g"); s != nil {
		return Share{}, s
	}
	cups := beverage / size
	full := math.Floor(cups + 1e-9) // so that 3.3 g fill three of 1.1 g
	return Share{Cups: cups, Full: int(full), Rest: math.Max(0, beverage-full*size)}, nil
}
