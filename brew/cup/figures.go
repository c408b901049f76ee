package cup

import (
	"math"

	"barline/brew"
)

// Name names a figure of a cup.
type Name string

// The figures of a cup. Retained is what each gram of dry coffee keeps back in
// grams: liquid, its solids included, in full immersion and drained; in
// percolation water, the spent bed being taken as free of solubles. Last is
// the strength of the last drops, of use to the drained balance alone.
const (
	Dose       Name = "dose"       // dry coffee, g
	Water      Name = "water"      // on the coffee, g
	Beverage   Name = "beverage"   // in the server or the cup, g
	Strength   Name = "strength"   // dissolved coffee in the beverage, % by mass
	Extraction Name = "extraction" // dissolved coffee, wherever it is by now, % of the dose
	Retained   Name = "retained"   // g/g
	Last       Name = "last drops" // dissolved coffee in them, % by mass
)

var names = [...]Name{Dose, Water, Beverage, Strength, Extraction, Retained, Last}

// Names returns every figure in the order of the documentation.
func Names() []Name { return append([]Name(nil), names[:]...) }

// Unit returns the unit of a figure, as it is written behind it.
func (n Name) Unit() string {
	switch n {
	case Strength, Extraction, Last:
		return "%"
	case Retained:
		return "g/g"
	}
	return "g"
}

// Figures are what is known of a cup; what is not there is unknown.
type Figures map[Name]Quantity

// HighestExtraction is the most of its dose that coffee gives to water, in per
// cent: 28 to 32 after five hours at 90 °C (Moroney, Lee, O'Brien, Suijver and
// Marra 2015, Chemical Engineering Science 137:216; read in a transcription).
const HighestExtraction = brew.Percent(32)

// spans are the ranges outside of which a figure is a slip. Those of masses
// and strength are the recipe's.
var spans = map[Name]Range{
	Dose:       {brew.LeastDose.Grams(), brew.MostDose.Grams()},
	Water:      {brew.LeastWater.Grams(), brew.MostWater.Grams()},
	Beverage:   {brew.LeastWater.Grams(), brew.MostWater.Grams()},
	Strength:   {0.05, float64(brew.MostStrength)},
	Extraction: {1, float64(HighestExtraction)},
	Retained:   {0, 10},
	Last:       {0, float64(brew.MostStrength)},
}

// check returns what is wrong with a figure by itself.
func (n Name) check(q Quantity) *Slip {
	span, known := spans[n]
	switch {
	case !known:
		return slip(OutOfRange, n, "", "a cup has no figure %q", string(n))
	case !(q.U >= 0) || math.IsInf(q.U, 0):
		return slip(OutOfRange, n, "give it as a number above zero", "the uncertainty of %s is %v", n, q.U)
	case (n == Strength || n == Extraction) && q.Value > 0 && q.Value < span.Low && q.Value*100 <= span.High:
		return slip(Fraction, n, "write "+decimal(q.Value*100)+" % for a share of "+decimal(q.Value),
			"%s %s %% is too little to be true", n, decimal(q.Value))
	case n == Extraction && q.Value > span.High && q.Value <= 100:
		return tooMuch(q.Value, "check dose, beverage and strength")
	}
	if s := outside(n, q.Value, span.Low, span.High, " "+n.Unit()); s != nil {
		return s
	}
	return nil
}

func tooMuch(extraction float64, hint string) *Slip {
	return slip(TooMuch, Extraction, hint, "extraction %s %% is more than coffee gives, %s %% at the most",
		decimal(extraction), decimal(float64(HighestExtraction)))
}

// check returns what is wrong with the figures given, each by itself and then
// together, in the order of the documentation.
func (f Figures) check() error {
	for n := range f {
		if _, known := spans[n]; !known {
			return n.check(f[n])
		}
	}
	for _, n := range names {
		if q, given := f[n]; given {
			if s := n.check(q); s != nil {
				return s
			}
		}
	}
	if s := f.swapped(); s != nil {
		return s
	}
	if s := f.heavy(); s != nil {
		return s
	}
	return nil
}

// swapped finds dose and water in each other's place: a gram of water on a
// gram of coffee wets it and no more.
func (f Figures) swapped() *Slip {
	dose, d := f[Dose]
	water, w := f[Water]
	if d && w && water.Value <= dose.Value {
		return slip(Swapped, Water, "give the dry coffee as dose, and all that was poured on it as water",
			"%s g of water on %s g of coffee makes no cup", decimal(water.Value), decimal(dose.Value))
	}
	return nil
}

// heavy finds a beverage that is heavier than the water. What dissolves in it
// weighs less than the liquid that even squeezed grounds keep.
func (f Figures) heavy() *Slip {
	water, w := f[Water]
	beverage, b := f[Beverage]
	if !w || !b || beverage.Value <= water.Value {
		return nil
	}
	return tooHeavy(beverage.Value, water.Value, f[Dose].Value)
}

// hotMillilitre is what a millilitre of a beverage at 80 °C weighs, in grams,
// taken as that of water.
const hotMillilitre = 0.9718

// tooHeavy names the likelier of two slips: where it would be light enough
// once counted in millilitres, that; else a server that was weighed too.
func tooHeavy(beverage, water, dose float64) *Slip {
	const message = "beverage %s g is more than %s g of water can have become"
	kind, hint := TooHeavy, "weigh the beverage without its server, or look for water that is not in the figure"
	if lighter := beverage * hotMillilitre; lighter <= water-dose*0.5 {
		kind = Millilitres
		hint = "weigh it, for " + decimal(beverage) + " ml of hot coffee are about " + decimal(lighter) + " g"
	}
	return slip(kind, Beverage, hint, message, decimal(beverage), decimal(water))
}
