package cup

import (
	"math"
	"slices"

	"barline/brew"
)

// SolveServer is Solve for a cup that was thinned with a bypass: beverage and
// strength are those in the server, water is what touched the coffee. Without
// a bypass it is Solve. Figures that err together are named as there.
//
// The error is a *Slip, as Solve's. Where the grounds hold liquor, a strength
// in the server says nothing without the beverage.
func SolveServer(b Balance, known Figures, bypass Quantity, correlated ...Correlation) (Figures, error) {
	if bypass.Value == 0 {
		return Solve(b, known, correlated...)
	}
	if err := known.check(); err != nil && !isHeavy(err) {
		return nil, err
	}
	if s := outside("a bypass of", bypass.Value, 0, spans[Water].High, " g"); s != nil {
		return nil, s
	}
	exact, err := thinned(b, known, bypass.Value)
	if err != nil {
		return nil, err
	}
	together, err := known.covariance(correlated)
	if err != nil {
		return nil, err
	}
	var given, found []Name
	for _, n := range names {
		if _, is := known[n]; is {
			given = append(given, n)
		}
		if _, is := exact[n]; is {
			found = append(found, n)
		}
	}
	x, covariance := []float64{bypass.Value}, square(len(given)+1)
	covariance[0][0] = bypass.U * bypass.U
	for i, n := range given {
		x = append(x, known[n].Value)
		for j, m := range given {
			covariance[i+1][j+1] = together[slices.Index(names[:], n)][slices.Index(names[:], m)] / n.share() / m.share()
		}
	}
	_, spread := Propagate(func(at []float64) []float64 {
		moved := Figures{}
		for i, n := range given {
			moved[n] = Exactly(at[i+1])
		}
		out, err := thinned(b, moved, at[0])
		if err != nil { // at the edge of what can be
			out = exact
		}
		y := make([]float64, len(found))
		for i, n := range found {
			y[i] = out[n].Value
		}
		return y
	}, x, covariance)
	for i, n := range found {
		exact[n] = Quantity{exact[n].Value, math.Sqrt(max(spread[i][i], 0))}
	}
	for n, q := range known {
		exact[n] = q
	}
	return exact, nil
}

// isHeavy reports whether an error is that of a beverage heavier than the
// water, which a bypass explains.
func isHeavy(err error) bool {
	s, ok := err.(*Slip)
	return ok && (s.Kind == TooHeavy || s.Kind == Millilitres)
}

// thinned works the server's figures out, taken as exact. In percolation it
// makes no difference which water went through the bed; else the cup is worked
// out as it was before the bypass.
func thinned(b Balance, known Figures, bypass float64) (Figures, error) {
	before := Figures{}
	for n, q := range known {
		before[n] = Exactly(q.Value)
	}
	if b == Percolation {
		water, poured := known[Water]
		if poured {
			before[Water] = Exactly(water.Value + bypass)
		}
		out, err := Solve(b, before)
		if q, ok := out[Water]; ok {
			out[Water] = Exactly(q.Value - bypass)
		}
		return out, err
	}
	beverage, weighed := known[Beverage]
	strength, read := known[Strength]
	switch {
	case weighed && beverage.Value <= bypass:
		return nil, slip(OutOfRange, Beverage, "check them both", "beverage %s g is no more than its bypass, %s g", decimal(beverage.Value), decimal(bypass))
	case read && !weighed:
		return nil, slip(TooFew, Beverage, "give beverage too", "with a bypass, strength says nothing without the beverage")
	case weighed:
		before[Beverage] = Exactly(beverage.Value - bypass)
	}
	if read {
		before[Strength] = Exactly(strength.Value * beverage.Value / (beverage.Value - bypass))
	}
	out, err := Solve(b, before)
	if err != nil {
		return nil, err
	}
	if q, ok := out[Beverage]; ok {
		out[Beverage] = Exactly(q.Value + bypass)
		if s, ok := out[Strength]; ok {
			out[Strength] = Exactly(s.Value * q.Value / (q.Value + bypass))
		}
	} else {
		delete(out, Strength) // that before the bypass is nobody's
	}
	return out, nil
}

// SolveUsual is SolveServer that takes as usual what nobody measured, where
// more follows from it: what the grounds keep (see UsualRetained) where neither
// that nor the beverage was weighed; by the drained balance how strong the last
// drops are (see UsualLast). usual reports that it did; Assumed says what. What one
// refractometer read errs together (see ReadTogether).
func SolveUsual(b Balance, known Figures, bypass Quantity) (out Figures, usual bool, err error) {
	together := known.ReadTogether()
	out, err = SolveServer(b, known, bypass, together...)
	with, any := known.usual(b)
	if !any || err != nil && !tooFew(err) {
		return out, false, err
	}
	more, guessed := SolveServer(b, with, bypass, together...)
	if guessed != nil || len(more) <= len(out)+1 {
		return out, false, err
	}
	return more, true, nil
}

// usual returns the figures with the one that is taken as usual where nobody
// measured it; false where there is none to take.
func (f Figures) usual(b Balance) (Figures, bool) {
	name, q := Retained, UsualRetained(b)
	if b == Drained {
		name, q = Last, UsualLast(f[Strength])
		if f[Strength].Value == 0 {
			return f, false
		}
	}
	_, weighed := f[Beverage]
	if _, given := f[name]; given || weighed && b != Drained {
		return f, false
	}
	with := Figures{name: q}
	for n, q := range f {
		with[n] = q
	}
	return with, true
}

func tooFew(err error) bool {
	s, ok := err.(*Slip)
	return ok && s.Kind == TooFew
}

// FiguresOf returns what is known of a cup that was brewed to a plan, read by
// instruments: the dose and the water as written, and the reading.
func FiguresOf(p *brew.Plan, r brew.Reading, i Instruments) Figures {
	out := Figures{Dose: i.Read(Dose, p.Dose.Grams()), Water: i.Read(Water, p.Water.Grams())}
	if r.Beverage != nil {
		out[Beverage] = i.Read(Beverage, r.Beverage.Grams())
	}
	if r.Strength != nil {
		out[Strength] = i.Read(Strength, float64(*r.Strength))
	}
	return out
}

// ExtractionOf returns the extraction of a cup that was brewed to a plan, by
// its method's balance: how much was dissolved, in per cent of the dose. usual
// reports that it rests on what grounds usually keep, for want of a beverage; in
// full immersion it never does. The error is a *Slip; of a method without a balance, and of a
// reading without a strength, nothing follows.
func ExtractionOf(p *brew.Plan, r brew.Reading, i Instruments) (q Quantity, usual bool, err error) {
	b, known := BalanceOf(p.Method)
	if !known {
		return Quantity{}, false, slip(TooFew, Extraction, "", "extraction does not follow: the method %q has no balance", string(p.Method))
	}
	return ExtractionBy(b, p, r, i)
}

// ExtractionBy is ExtractionOf by a balance of one's own choice.
func ExtractionBy(b Balance, p *brew.Plan, r brew.Reading, i Instruments) (q Quantity, usual bool, err error) {
	return WantServer(Extraction, b, FiguresOf(p, r, i), i.Read(Water, p.Bypass.Grams()).none())
}

// WantServer returns one figure of a cup that was thinned with a bypass, as
// SolveUsual does; usual reports that this figure rests on what was taken. The
// *Slip of one that does not follow names what would be needed.
func WantServer(n Name, b Balance, known Figures, bypass Quantity) (q Quantity, usual bool, err error) {
	if out, err := SolveServer(b, known, bypass, known.ReadTogether()...); err == nil {
		if q, ok := out[n]; ok {
			return q, false, nil
		}
	}
	out, usual, err := SolveUsual(b, known, bypass)
	if err != nil {
		return Quantity{}, false, err
	}
	q, ok := out[n]
	if !ok {
		return Quantity{}, false, b.missing(n, known)
	}
	return q, usual, nil
}

// none returns no quantity at all where there is nothing of it.
func (q Quantity) none() Quantity {
	if q.Value == 0 {
		return Quantity{}
	}
	return q
}

// Inside reports whether a cup lies in Lockhart's box: see Classic.
func Inside(strength, extraction float64) bool {
	return Classic.Strength.Holds(strength) && Classic.Extraction.Holds(extraction)
}

// Box is a part of the plane of strength and extraction, in per cent.
type Box struct{ Strength, Extraction Range }

// Classic is the box of Lockhart 1957 (The Soluble Solids in Beverage Coffee
// as an Index to Cup Quality; as quoted in Batali, Ristenpart and Guinard 2020,
// Scientific Reports 10:16450). What lies outside of it is not wrong.
var Classic = Box{Range{1.15, 1.35}, Range{18, 22}}
