package cup

import "slices"

// values are figures on the way through the equations: masses in grams, shares
// as fractions, in the order of names.
type values [len(names)]float64

const (
	iDose = iota
	iWater
	iBeverage
	iStrength
	iExtraction
	iRetained
	iLast
)

// form is one equation between figures, each of which it is linear in.
type form struct {
	uses []int
	off  func(v *values, held float64) float64 // zero where it holds; held is how strong the retained liquid is
}

// Two equations hold in every cup, one of mass and one of solids:
//
//	water + extraction·dose = beverage + retained·dose
//	extraction·dose = strength·beverage + held·retained·dose
//
// The three others are what follows once a figure is put from the one into
// the other. In each pair of figures at least one form leaves out the one and
// has the other, so whatever two are unknown are found one by one.
var (
	mass = form{[]int{iDose, iWater, iBeverage, iExtraction, iRetained}, func(v *values, _ float64) float64 {
		return v[iWater] + v.dissolved() - v[iBeverage] - v.kept()
	}}
	solids = form{[]int{iDose, iBeverage, iStrength, iExtraction, iRetained, iLast}, func(v *values, held float64) float64 {
		return v.dissolved() - v[iStrength]*v[iBeverage] - held*v.kept()
	}}
	noRetained = form{[]int{iDose, iWater, iBeverage, iStrength, iExtraction, iLast}, func(v *values, held float64) float64 {
		return v.dissolved() - v[iStrength]*v[iBeverage] - held*(v[iWater]+v.dissolved()-v[iBeverage])
	}}
	noBeverage = form{[]int{iDose, iWater, iStrength, iExtraction, iRetained, iLast}, func(v *values, held float64) float64 {
		return v.dissolved() - v[iStrength]*(v[iWater]+v.dissolved()-v.kept()) - held*v.kept()
	}}
	noExtraction = form{[]int{iDose, iWater, iBeverage, iStrength, iRetained, iLast}, func(v *values, held float64) float64 {
		return v[iWater] - (1-v[iStrength])*v[iBeverage] - (1-held)*v.kept()
	}}
)

func (v *values) dissolved() float64 { return v[iExtraction] * v[iDose] }
func (v *values) kept() float64      { return v[iRetained] * v[iDose] }

// without returns the form as it is where figures cancel out.
func (f form) without(cancelled ...int) form {
	f.uses = slices.DeleteFunc(slices.Clone(f.uses), func(i int) bool { return slices.Contains(cancelled, i) })
	return f
}

// forms returns the equations of a balance. Where nothing is held, the water
// and what it left behind cancel out of the solids; where what is held is as
// strong as the cup, it does not matter how much of it is which.
func (b Balance) forms() []form {
	switch b {
	case Percolation:
		return []form{mass.without(iLast), solids.without(iLast, iRetained), noBeverage.without(iLast), noExtraction.without(iLast)}
	case Immersion:
		return []form{mass.without(iLast), solids.without(iLast), noRetained.without(iLast, iBeverage), noExtraction.without(iLast)}
	}
	return []form{mass, solids, noRetained, noBeverage, noExtraction}
}

// held returns how strong the liquid in the grounds is.
func (b Balance) held(v *values) float64 {
	switch b {
	case Immersion:
		return v[iStrength]
	case Drained:
		return v[iLast]
	}
	return 0
}

// work is one figure found by one form.
type work struct {
	form form
	of   int
}

// most is how many figures leave the two equations something to find.
func (b Balance) most() int {
	if b == Drained {
		return 5
	}
	return 4
}

// plan returns in which order what follows from the known figures is found,
// and marks it known. It is false where the figures given say the same thing
// twice: there are too many, or a form has nothing left to find.
func (b Balance) plan(known *[len(names)]bool) (order []work, ok bool) {
	forms := b.forms()
	given := 0
	for _, is := range known {
		if is {
			given++
		}
	}
	if given > b.most() {
		return nil, false
	}
	for _, f := range forms {
		if len(f.unknown(known)) == 0 {
			return nil, false
		}
	}
	for next := 0; next < len(forms); next++ {
		if left := forms[next].unknown(known); len(left) == 1 {
			order = append(order, work{forms[next], left[0]})
			known[left[0]] = true
			next = -1 // from the first again, which lose the fewest digits
		}
	}
	return order, true
}

func (f form) unknown(known *[len(names)]bool) []int {
	return slices.DeleteFunc(slices.Clone(f.uses), func(i int) bool { return known[i] })
}

// follow works the order through.
func (b Balance) follow(order []work, v values) values {
	for _, w := range order {
		v[w.of] = 0
		at0 := w.form.off(&v, b.held(&v))
		v[w.of] = 1
		at1 := w.form.off(&v, b.held(&v))
		v[w.of] = at0 / (at0 - at1) // the form is linear in it
	}
	return v
}

// share is what a figure's unit is of the equations' own.
func (n Name) share() float64 {
	if n.Unit() == "%" {
		return 0.01
	}
	return 1
}

func (f Figures) values() (v values, known [len(names)]bool) {
	for i, n := range names {
		if q, given := f[n]; given {
			v[i], known[i] = q.Value*n.share(), true
		}
	}
	return v, known
}
