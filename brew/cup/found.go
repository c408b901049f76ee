package cup

import (
	"math"
	"slices"
	"strings"
)

// missing says what would make a figure follow: any one figure that does.
func (b Balance) missing(n Name, known Figures) *Slip {
	var would []string
	for i, one := range names {
		_, is := known.values()
		if is[i] || one == n {
			continue
		}
		is[i] = true
		if _, ok := b.plan(&is); ok && is[slices.Index(names[:], n)] {
			would = append(would, string(one))
		}
	}
	hint := "give more of dose, water, beverage, strength and extraction"
	if b == Drained {
		hint += ", and the last drops"
	}
	if len(would) > 0 {
		hint = "give " + strings.Join(would, " or ") + " too"
	}
	return slip(TooFew, n, hint, "%s does not follow from %s by %s", n, known.list(), b)
}

// twice says that a figure too many was given.
func (b Balance) twice(known Figures) *Slip {
	return slip(TooMany, "", "leave one out, and it is worked out", "%s say one thing twice by %s", known.list(), b)
}

// list returns the figures given, in words.
func (f Figures) list() string {
	var words []string
	for _, n := range names {
		if _, given := f[n]; given {
			words = append(words, string(n))
		}
	}
	if len(words) == 0 {
		return "nothing"
	}
	return strings.Join(words, ", ")
}

// found returns what is wrong with figures that were worked out, the likeliest
// slip first.
func (b Balance) found(all, known Figures) *Slip {
	for _, n := range names {
		q, ok := all[n]
		if _, given := known[n]; !ok || given {
			continue
		}
		if s := b.foundOne(n, q.Value, all, known); s != nil {
			return s
		}
	}
	return nil
}

func (b Balance) foundOne(n Name, x float64, all, known Figures) *Slip {
	span := spans[n]
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return slip(NoNumber, n, "check them all", "no %s fits %s by %s", n, known.list(), b)
	case n == Extraction && x > span.High:
		hint := "check the dose, and that the beverage was weighed without its server"
		if strength, given := known[Strength]; given && strength.Value >= 5 && x/10 <= span.High {
			s := tooMuch(x, "write "+decimal(strength.Value/10)+" % where "+decimal(strength.Value)+" g a litre was meant")
			s.Kind = PerLitre
			return s
		}
		return tooMuch(x, hint)
	case n == Retained && x < 0 && x > -1e-9: // what rounding left of none
		return nil
	case n == Retained && x < 0:
		return tooHeavy(all[Beverage].Value, all[Water].Value, all[Dose].Value)
	case x < span.Low || x > span.High:
		return slip(OutOfRange, n, "check "+known.list(), "%s comes out as %s %s, outside %s to %s %s", n, decimal(x), n.Unit(), decimal(span.Low), decimal(span.High), n.Unit())
	}
	return nil
}
