package cup

import (
	"math"
	"slices"
)

// Correlation is how far two figures err together, -1 to 1: 1 where both were
// read off one instrument whose own error is all that matters.
type Correlation struct {
	A, B Name
	R    float64
}

// Solve returns the figures given and all that follow from them by the
// balance, each with its standard uncertainty (see Propagate). Of figures that
// are not named as correlated the errors are taken as independent.
//
// The error is a *Slip where a figure cannot be true, given or found, or where
// the figures given say one thing twice. What does not follow from them is
// absent; Want asks for one.
//
// The balances of dose, water, beverage, strength and extraction are those of
// common use (derived by Gagné 2019, a practitioner's text, and by hand).
func Solve(b Balance, known Figures, correlated ...Correlation) (Figures, error) {
	if !slices.Contains(Balances(), b) {
		return nil, slip(OutOfRange, "", "write percolation, immersion or drained", "a balance %q is unknown", string(b))
	}
	if err := known.check(); err != nil {
		return nil, err
	}
	if _, given := known[Last]; given && b != Drained {
		return nil, slip(TooMany, Last, "take the drained balance, or leave them out", "last drops say nothing by %s", b)
	}
	x, is := known.values()
	order, ok := b.plan(&is)
	if !ok {
		return nil, b.twice(known)
	}
	covariance, err := known.covariance(correlated)
	if err != nil {
		return nil, err
	}
	y, spread := Propagate(func(at []float64) []float64 {
		found := b.follow(order, values(at))
		return found[:]
	}, x[:], covariance)
	out := Figures{}
	for i, n := range names {
		if is[i] {
			out[n] = Quantity{y[i] / n.share(), math.Sqrt(max(spread[i][i], 0)) / n.share()}
		}
	}
	for n, q := range known { // as given, to the last digit
		out[n] = q
	}
	if s := b.found(out, known); s != nil {
		return nil, s
	}
	if q, ok := out[Retained]; ok { // none, but for what rounding left
		out[Retained] = Quantity{max(q.Value, 0), q.U}
	}
	return out, nil
}

// Want returns one figure by the balance, as Solve does. The *Slip of one that
// does not follow names what would be needed.
func Want(n Name, b Balance, known Figures, correlated ...Correlation) (Quantity, error) {
	all, err := Solve(b, known, correlated...)
	if err != nil {
		return Quantity{}, err
	}
	q, ok := all[n]
	if !ok {
		return Quantity{}, b.missing(n, known)
	}
	return q, nil
}

// covariance returns the matrix of the figures given, in the equations' units.
func (f Figures) covariance(correlated []Correlation) ([][]float64, error) {
	out := square(len(names))
	for i, n := range names {
		u := f[n].U * n.share()
		out[i][i] = u * u
	}
	for _, c := range correlated {
		i, j := slices.Index(names[:], c.A), slices.Index(names[:], c.B)
		if i < 0 || j < 0 || i == j || !(math.Abs(c.R) <= 1) {
			return nil, slip(OutOfRange, c.A, "name two figures, and a correlation of -1 to 1", "%q and %q cannot be correlated by %v", string(c.A), string(c.B), c.R)
		}
		out[i][j] = c.R * math.Sqrt(out[i][i]*out[j][j])
		out[j][i] = out[i][j]
	}
	return out, nil
}

// InCup returns the share of the dose that is in the beverage, in per cent:
// the extraction, less what the grounds hold. In a press or a pot that is less
// than was dissolved. It is false where dose, beverage or strength is unknown.
func (f Figures) InCup() (percent float64, ok bool) {
	dose, d := f[Dose]
	beverage, b := f[Beverage]
	strength, s := f[Strength]
	if !d || !b || !s || dose.Value == 0 {
		return 0, false
	}
	return strength.Value * beverage.Value / dose.Value, true
}
