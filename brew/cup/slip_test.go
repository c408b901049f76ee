package cup_test

import (
	"math"
	"strings"
	"testing"

	"barline/brew/cup"
)

func TestImpossibleFiguresNameTheLikelySlip(t *testing.T) {
	const d, w, b, c, e, l, last = cup.Dose, cup.Water, cup.Beverage, cup.Strength, cup.Extraction, cup.Retained, cup.Last
	for _, test := range []struct {
		what    string
		balance cup.Balance
		known   map[cup.Name]float64
		kind    cup.SlipKind
		says    string
		hint    string
	}{
		{"a fraction for a strength", cup.Percolation, map[cup.Name]float64{d: 15, b: 220, c: 0.0135}, cup.Fraction, "strength 0.0135 %", "write 1.35 %"},
		{"a fraction for an extraction", cup.Immersion, map[cup.Name]float64{d: 15, w: 220, e: 0.2}, cup.Fraction, "extraction 0.2 %", "write 20 %"},
		{"grams a litre for a strength", cup.Percolation, map[cup.Name]float64{d: 15, b: 220, c: 13.5}, cup.PerLitre, "extraction 198 %", "write 1.35 % where 13.5 g a litre was meant"},
		{"a beverage with its server", cup.Percolation, map[cup.Name]float64{d: 15, w: 250, b: 550, c: 0.5}, cup.TooHeavy, "beverage 550 g is more than 250 g of water", "without its server"},
		{"a beverage of a light dose in millilitres", cup.Percolation, map[cup.Name]float64{d: 5, w: 250, b: 252.5, c: 0.4}, cup.Millilitres, "beverage 252.5 g", "252.5 ml of hot coffee are about 245.4 g"},
		{"a beverage that weighs a little more than its water", cup.Percolation, map[cup.Name]float64{d: 15, w: 250, b: 250.1, c: 1}, cup.TooHeavy, "beverage 250.1 g", "without its server"},
		{"a beverage heavier than its water, the dose unknown", cup.Immersion, map[cup.Name]float64{w: 250, b: 255}, cup.Millilitres, "beverage 255 g", "weigh it"},
		{"a beverage heavier than water and all that dissolves", cup.Immersion, map[cup.Name]float64{d: 15, w: 250, b: 254.9}, cup.TooHeavy, "beverage 254.9 g", "without its server"},
		{"more than coffee gives", cup.Percolation, map[cup.Name]float64{d: 15, b: 250, c: 2.2}, cup.TooMuch, "extraction 36.67 % is more than coffee gives, 32 % at the most", "check the dose"},
		{"more than coffee gives, asked for", cup.Percolation, map[cup.Name]float64{d: 15, b: 250, e: 33}, cup.TooMuch, "extraction 33 %", ""},
		{"dose and water swapped", cup.Immersion, map[cup.Name]float64{d: 250, w: 15, c: 1.3}, cup.Swapped, "15 g of water on 250 g of coffee", ""},
		{"a bed that keeps all the water", cup.Percolation, map[cup.Name]float64{d: 100, w: 180, l: 3, e: 20}, cup.OutOfRange, "beverage comes out as", ""},
		{"no number", cup.Percolation, map[cup.Name]float64{d: math.NaN(), b: 250, c: 1.3}, cup.NoNumber, "dose is not a number", ""},
		{"a dose of nothing", cup.Percolation, map[cup.Name]float64{d: 0, b: 250, c: 1.3}, cup.OutOfRange, "dose 0 g is outside 1 g to 2000 g", ""},
		{"a figure too many", cup.Percolation, map[cup.Name]float64{d: 15, b: 220, c: 1.35, e: 19.8}, cup.TooMany, "dose, beverage, strength, extraction say one thing twice", "leave one out"},
		{"a figure too many, the dose left out", cup.Percolation, map[cup.Name]float64{w: 250, b: 223, c: 1.35, e: 20.07, l: 2}, cup.TooMany, "", "leave one out"},
		{"too little, and no fraction of what could be", cup.Immersion, map[cup.Name]float64{d: 15, w: 220, e: 0.5}, cup.OutOfRange, "extraction 0.5 % is outside 1 % to 32 %", ""},
		{"all figures", cup.Drained, map[cup.Name]float64{w: 250, b: 220, c: 1.4, e: 21, l: 2, last: 0.6}, cup.TooMany, "", ""},
		{"last drops through a bed", cup.Percolation, map[cup.Name]float64{d: 15, b: 220, c: 1.35, last: 0.6}, cup.TooMany, "last drops", "drained"},
		{"a beverage heavier than what is known to have dissolved", cup.Percolation, map[cup.Name]float64{d: 15, w: 250, b: 253.5, c: 1}, cup.TooHeavy, "beverage 253.5 g", "without its server"},
		{"last drops of nothing, and the water unknown", cup.Drained, map[cup.Name]float64{d: 15, b: 220, c: 1.35, e: 19.8, last: 0}, cup.NoNumber, "no water fits", ""},
		{"a bed that would keep more than any does", cup.Percolation, map[cup.Name]float64{d: 15, w: 450, b: 220, c: 1.35}, cup.OutOfRange, "retained comes out as 15.53 g/g, outside 0 to 10 g/g", "check dose, water, beverage, strength"},
		{"an unknown balance", "espresso", map[cup.Name]float64{d: 15}, cup.OutOfRange, `"espresso"`, ""},
		{"an unknown figure", cup.Percolation, map[cup.Name]float64{"colour": 15}, cup.OutOfRange, `"colour"`, ""},
	} {
		_, err := cup.Solve(test.balance, some(test.known))
		s := slipOf(t, test.what, err, test.kind)
		if !strings.Contains(s.Message, test.says) || !strings.Contains(s.Hint, test.hint) || s.Error() != s.Message {
			t.Errorf("%s: %q, hint %q, want %q and %q", test.what, s.Message, s.Hint, test.says, test.hint)
		}
	}
}

// A slip names the figure of the cup that it is about, and no other.
func TestASlipKnowsItsFigure(t *testing.T) {
	_, err := cup.Solve(cup.Percolation, some(map[cup.Name]float64{cup.Dose: 15, cup.Beverage: 1e6}))
	if s := slipOf(t, "a ton", err, cup.OutOfRange); s.What != cup.Beverage {
		t.Errorf("it is about %q", s.What)
	}
	for what, err := range map[string]error{
		"water of 120 °C is outside 0 °C to 110 °C":   second(cup.Density(120)),
		"a cup of 0 g is outside 1 g to 40000 g":      second(cup.ShareOut(480, 0)),
		"a boiling point of -1 °C is outside 0 °C to": second(cup.SteamPressure(-1)),
	} {
		if s := slipOf(t, what, err, cup.OutOfRange); s.What != "" || !strings.HasPrefix(s.Message, what) {
			t.Errorf("%q is about %q", s.Message, s.What)
		}
	}
}

func second[T any](_ T, err error) error { return err }

// On the very edge of what can be, nothing is refused.
func TestFiguresOnTheEdgeAreTaken(t *testing.T) {
	for what, known := range map[string]map[cup.Name]float64{
		"all that coffee gives":       {cup.Dose: 10, cup.Beverage: 200, cup.Extraction: 32},
		"nothing kept":                {cup.Dose: 10, cup.Water: 200, cup.Extraction: 20, cup.Retained: 0},
		"no more kept than dissolves": {cup.Dose: 10, cup.Water: 200, cup.Extraction: 20, cup.Beverage: 200},
		"a thin cup":                  {cup.Dose: 10, cup.Beverage: 3000, cup.Strength: 0.05},
	} {
		for _, b := range []cup.Balance{cup.Percolation, cup.Immersion} {
			if _, err := cup.Solve(b, some(known)); err != nil {
				t.Errorf("%s, %s: %v", what, b, err)
			}
		}
	}
}

// Where nothing is kept, rounding may leave a little less than nothing.
func TestNothingKeptIsNotLessThanNothing(t *testing.T) {
	for i := range 100 {
		dose, water := 10+0.13*float64(i), 200+0.37*float64(i)
		strength := 100 * 0.193 * dose / water
		got, err := cup.Want(cup.Retained, cup.Immersion, some(map[cup.Name]float64{cup.Dose: dose, cup.Strength: strength, cup.Extraction: 19.3, cup.Beverage: math.Nextafter(water, 1e9)}))
		if err != nil || got.Value < 0 || got.Value > 1e-9 {
			t.Errorf("%v (%v)", got, err)
		}
	}
}

func TestWhatDoesNotFollowSaysWhatWouldHelp(t *testing.T) {
	for _, test := range []struct {
		balance cup.Balance
		known   map[cup.Name]float64
		says    string
		hint    string
	}{
		{cup.Percolation, map[cup.Name]float64{cup.Dose: 15, cup.Water: 250, cup.Strength: 1.35}, "extraction does not follow from dose, water, strength by percolation", "give beverage or retained too"},
		{cup.Immersion, map[cup.Name]float64{cup.Dose: 15, cup.Water: 250}, "extraction does not follow from dose, water by immersion", "give strength too"},
		{cup.Drained, map[cup.Name]float64{cup.Dose: 15, cup.Water: 250, cup.Beverage: 220, cup.Strength: 1.4}, "by drained", "give retained or last drops too"},
		{cup.Drained, map[cup.Name]float64{cup.Dose: 15}, "by drained", "and the last drops"},
		{cup.Immersion, nil, "does not follow from nothing", "give more of"},
	} {
		_, err := cup.Want(cup.Extraction, test.balance, some(test.known))
		s := slipOf(t, test.says, err, cup.TooFew)
		if !strings.Contains(s.Message, test.says) || !strings.Contains(s.Hint, test.hint) {
			t.Errorf("%q, hint %q, want %q and %q", s.Message, s.Hint, test.says, test.hint)
		}
	}
}

func TestUncertaintiesAndCorrelationsMustBePossible(t *testing.T) {
	good := func() cup.Figures {
		return cup.Figures{cup.Dose: {Value: 15, U: 0.1}, cup.Beverage: {Value: 220, U: 0.5}, cup.Strength: {Value: 1.35, U: 0.03}}
	}
	for _, u := range []float64{-0.1, math.NaN(), math.Inf(1)} {
		f := good()
		f[cup.Dose] = cup.Quantity{Value: 15, U: u}
		_, err := cup.Solve(cup.Percolation, f)
		slipOf(t, "an uncertainty", err, cup.OutOfRange)
	}
	for _, c := range []cup.Correlation{{A: cup.Dose, B: cup.Beverage, R: 1.01}, {A: cup.Dose, B: cup.Beverage, R: math.NaN()}, {A: cup.Dose, B: cup.Dose, R: 0.5}, {A: cup.Dose, B: "colour", R: 0.5}} {
		_, err := cup.Solve(cup.Percolation, good(), c)
		slipOf(t, "a correlation", err, cup.OutOfRange)
	}
}
