package brew

import (
	"cmp"
	"slices"
)

// Scale returns the recipe for another dose. The dose is exact; the water
// follows the ratio to a tenth of a gram; the pours are shared out by largest
// remainder so that they add up to it exactly. The bypass scales too; times
// and the chamber do not. The version stays the recipe's own. The error is
// Faults: those of the recipe, or of what would become of it, such as a
// chamber that is too small.
func (r Recipe) Scale(dose Mass, bar Bar) (Recipe, error) {
	plan, err := NewPlan(r, bar)
	if err != nil {
		return Recipe{}, err
	}
	if dose == r.Dose {
		return r, nil
	}
	out := r
	out.version = plan.Version
	out.Dose = dose
	out.Steps = slices.Clone(r.Steps)
	if LeastDose <= dose && dose <= MostDose { // else the check below refuses it
		out.share(r)
	}
	if errs := Check(out, bar).Errors(); len(errs) > 0 {
		return Recipe{}, errs
	}
	return out, nil
}

// share gives the recipe, another dose of the given one, its amounts, and
// keeps the lengths that were assumed for the amounts as they were.
func (r *Recipe) share(from Recipe) {
	r.Water = proportion(from.Water, r.Dose, from.Dose).Tenths()
	steps := lay(from)
	for i, l := range steps {
		r.Steps[i].held = l.end - l.start
	}
	r.shareBypass(from)
	r.sharePours(from, steps)
}

// proportion returns m · num / den, to the milligram.
func proportion(m, num, den Mass) Mass { return (m*num + den/2) / den }

// sharePours gives every pour its part of the scaled water, and every pour
// that goes 'to' a reading the reading that follows.
func (r *Recipe) sharePours(from Recipe, steps []laid) {
	var parts []Mass
	for i, s := range from.Steps {
		if s.Action == Pour {
			parts = append(parts, steps[i].added)
		}
	}
	shares := split(r.Water, parts)
	var reading Mass
	for i, s := range from.Steps {
		switch s.Action {
		case Tare: // without which no pour comes after a lift or a flip
			reading = 0
		case Bypass:
			reading += r.Steps[i].Amount
		case Pour:
			reading += shares[0]
			r.Steps[i].Amount = shares[0]
			if s.To {
				r.Steps[i].Amount = reading
			}
			shares = shares[1:]
		}
	}
}

// shareBypass scales the bypass water as sharePours does the pours.
func (r *Recipe) shareBypass(from Recipe) {
	var parts []Mass
	for _, s := range from.Steps {
		if s.Action == Bypass {
			parts = append(parts, s.Amount)
		}
	}
	shares := split(proportion(from.BypassWater(), r.Dose, from.Dose).Tenths(), parts)
	for i, s := range from.Steps {
		if s.Action == Bypass {
			r.Steps[i].Amount = shares[0]
			shares = shares[1:]
		}
	}
}

// split divides total, a multiple of a tenth of a gram, in proportion to the
// parts, each share a multiple of it too, by largest remainder (Hamilton's
// method, 1792). Ties go to the earlier part.
func split(total Mass, parts []Mass) []Mass {
	var sum Mass
	for _, p := range parts {
		sum += p
	}
	if sum == 0 {
		return make([]Mass, len(parts))
	}
	out, rest := make([]Mass, len(parts)), make([]Mass, len(parts))
	left := total / tenth
	order := make([]int, len(parts))
	for i, p := range parts {
		exact := total / tenth * p
		out[i], rest[i], order[i] = exact/sum, exact%sum, i
		left -= out[i]
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(rest[b], rest[a]) })
	for _, i := range order[:left] {
		out[i]++
	}
	for i := range out {
		out[i] *= tenth
	}
	return out
}
