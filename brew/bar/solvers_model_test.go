package bar_test

import (
	"fmt"
	"strings"

	"barline/brew/bar"
)

// stretch is a time for which an order takes a resource, from one tick to
// another, each written as a variable and a distance from it.
type stretch struct {
	order          int
	from, to       string
	fromOff, toOff int
}

// model is an instance laid out as plainly as its definition, for solvers
// that know nothing of bars: a variable for each brew's zero and, with
// windows, for each act.
type model struct {
	p     *bar.Problem
	rigid bool
	vars  []string
	start [][]string // of each order's acts: the variable
	off   [][]int    // and the distance from it
	least []relation // to - from >= least
	takes [][]stretch
}

// relation asks that one variable lies at least so far behind another; "" is
// the service's zero.
type relation struct {
	from, to string
	least    int
}

func newModel(p *bar.Problem, rigid bool) *model {
	m := &model{p: p, rigid: rigid, takes: make([][]stretch, len(p.Resources))}
	for j, o := range p.Orders {
		pat := p.Patterns[o.Pattern]
		zero := fmt.Sprintf("z%d", j)
		m.vars = append(m.vars, zero)
		var vars []string
		var offs []int
		for a, act := range pat.Acts {
			v, off := zero, act.Start
			if !rigid {
				v, off = fmt.Sprintf("x%d_%d", j, a), 0
				m.vars = append(m.vars, v)
				m.apart(zero, v, act.Start-act.Early)
				m.apart(v, zero, -act.Start-act.Late)
				for _, b := range act.Behind {
					m.apart(vars[b], v, pat.Acts[b].Length)
				}
			}
			vars, offs = append(vars, v), append(offs, off)
			m.apart("", v, o.Placed-off)
			m.apart(v, "", -(p.Horizon - act.Length - off))
			for _, r := range act.Uses {
				if act.Length > 0 {
					m.takes[r] = append(m.takes[r], stretch{order: j, from: v, to: v, fromOff: off, toOff: off + act.Length})
				}
			}
		}
		m.start, m.off = append(m.start, vars), append(m.off, offs)
		for _, h := range pat.Holds {
			m.takes[h.Resource] = append(m.takes[h.Resource], stretch{order: j, from: vars[h.From], to: vars[h.To], fromOff: offs[h.From], toOff: offs[h.To] + pat.Acts[h.To].Length})
		}
	}
	for j, o := range p.Orders {
		for i := range j {
			if p.InTurn && p.Orders[i].Pattern == o.Pattern {
				m.apart(fmt.Sprintf("z%d", i), fmt.Sprintf("z%d", j), 0)
			}
		}
	}
	return m
}

func (m *model) apart(from, to string, least int) {
	m.least = append(m.least, relation{from, to, least})
}

// ready returns where an order's cup is ready, as a variable and a distance.
func (m *model) ready(j int) (string, int) {
	pat := m.p.Patterns[m.p.Orders[j].Pattern]
	return m.start[j][pat.Done], m.off[j][pat.Done] + pat.Acts[pat.Done].Length
}

// gap is a difference of two zeros that clashes: lo < d < hi.
type gap struct{ lo, hi int }

// gaps returns the differences zero(j) - zero(i) that over-book a resource of
// which there is one, where no act has a window: merged, in rising order.
func (m *model) gaps(i, j int) (out []gap) {
	bad := map[int]bool{}
	least, most := 0, 0
	for r, res := range m.p.Resources {
		if res.Capacity > 1 {
			continue
		}
		for _, a := range m.takes[r] {
			for _, b := range m.takes[r] {
				if a.order == i && b.order == j {
					lo, hi := a.fromOff-b.toOff, a.toOff-b.fromOff // clash where lo < d < hi
					for d := lo + 1; d < hi; d++ {
						bad[d] = true
					}
					least, most = min(least, lo), max(most, hi)
				}
			}
		}
	}
	for d := least; d <= most; d++ {
		switch {
		case !bad[d]:
		case len(out) > 0 && out[len(out)-1].hi == d:
			out[len(out)-1].hi = d + 1
		default:
			out = append(out, gap{d - 1, d + 1})
		}
	}
	return out
}

// far returns a distance that no plan has.
func (m *model) far() int { return 2 * m.p.Horizon }

// minizinc writes the model for MiniZinc. Without windows a variable says for
// each pair of brews between which gaps their distance lies; with windows acts
// on one thing are disjunctive. Where there is more than one of a resource, it
// is cumulative either way.
func (m *model) minizinc() string {
	var b strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	say(`include "cumulative.mzn"; include "disjunctive.mzn";`)
	for _, v := range m.vars {
		say("var %d..%d: %s;", -m.p.Horizon, m.p.Horizon, v)
	}
	for _, r := range m.least {
		switch {
		case r.from == "":
			say("constraint %s >= %d;", r.to, r.least)
		case r.to == "":
			say("constraint %s <= %d;", r.from, -r.least)
		default:
			say("constraint %s - %s >= %d;", r.to, r.from, r.least)
		}
	}
	search := m.vars
	if m.rigid {
		search = append(m.minizincGaps(say), m.vars...)
	}
	for r, res := range m.p.Resources {
		m.minizincResource(say, r, res.Capacity)
	}
	say("var 0..%d: cost;", m.p.Horizon*len(m.p.Orders))
	var sum []string
	for j := range m.p.Orders {
		v, off := m.ready(j)
		sum = append(sum, fmt.Sprintf("%s + %d", v, off))
	}
	if m.p.Goal == bar.End {
		say("constraint cost = max([%s]);", strings.Join(sum, ", "))
	} else {
		say("constraint cost = sum([%s]);", strings.Join(sum, ", "))
	}
	how := "smallest"
	if m.rigid {
		how = "dom_w_deg"
	}
	say("solve :: int_search([%s], %s, indomain_min) minimize cost;", strings.Join(search, ", "), how)
	say(`output ["cost=\(cost)\n"];`)
	return b.String()
}

func (m *model) minizincGaps(say func(string, ...any)) (vars []string) {
	for j := range m.p.Orders {
		for i := range j {
			gaps := m.gaps(i, j)
			if len(gaps) == 0 {
				continue
			}
			from, to := []string{fmt.Sprint(-m.far())}, []string{}
			for _, g := range gaps {
				to, from = append(to, fmt.Sprint(g.lo)), append(from, fmt.Sprint(g.hi))
			}
			to = append(to, fmt.Sprint(m.far()))
			k := fmt.Sprintf("k%d_%d", i, j)
			say("var 1..%d: %s;", len(from), k)
			say("constraint z%d - z%d >= [%s][%s];", j, i, strings.Join(from, ","), k)
			say("constraint z%d - z%d <= [%s][%s];", j, i, strings.Join(to, ","), k)
			vars = append(vars, k)
		}
	}
	return vars
}

func (m *model) minizincResource(say func(string, ...any), r, capacity int) {
	if len(m.takes[r]) <= capacity || m.rigid && capacity == 1 {
		return
	}
	var starts, lengths, ones []string
	for i, s := range m.takes[r] {
		length := fmt.Sprint(s.toOff - s.fromOff)
		if s.from != s.to {
			length = fmt.Sprintf("l%d_%d", r, i)
			say("var 0..%d: %s; constraint %s = %s - %s + %d;", m.p.Horizon, length, length, s.to, s.from, s.toOff-s.fromOff)
		}
		starts, lengths, ones = append(starts, fmt.Sprintf("%s + %d", s.from, s.fromOff)), append(lengths, length), append(ones, "1")
	}
	if capacity == 1 {
		say("constraint disjunctive([%s], [%s]);", strings.Join(starts, ", "), strings.Join(lengths, ", "))
		return
	}
	say("constraint cumulative([%s], [%s], [%s], %d);", strings.Join(starts, ", "), strings.Join(lengths, ", "), strings.Join(ones, ", "), capacity)
}

// smtlib writes the model as integer differences with disjunctions; cost is
// its own variable, so that a loop can ask for less and less.
func (m *model) smtlib() string {
	var b strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	for _, v := range m.vars {
		say("(declare-const %s Int)", v)
	}
	for _, r := range m.least {
		switch {
		case r.from == "":
			say("(assert (>= %s %s))", r.to, smt(r.least))
		case r.to == "":
			say("(assert (<= %s %s))", r.from, smt(-r.least))
		default:
			say("(assert (>= (- %s %s) %s))", r.to, r.from, smt(r.least))
		}
	}
	if m.rigid {
		m.smtGaps(say)
	}
	for r, res := range m.p.Resources {
		if !m.rigid || res.Capacity > 1 {
			m.smtResource(say, m.takes[r], res.Capacity)
		}
	}
	say("(declare-const cost Int)")
	var sum []string
	for j := range m.p.Orders {
		v, off := m.ready(j)
		sum = append(sum, fmt.Sprintf("(+ %s %s)", v, smt(off)))
		if m.p.Goal == bar.End {
			say("(assert (>= (- cost %s) %s))", v, smt(off))
		}
	}
	if m.p.Goal != bar.End {
		say("(assert (= cost (+ %s)))", strings.Join(sum, " "))
	}
	return b.String()
}

func smt(n int) string {
	if n < 0 {
		return fmt.Sprintf("(- %d)", -n)
	}
	return fmt.Sprint(n)
}

func (m *model) smtGaps(say func(string, ...any)) {
	for j := range m.p.Orders {
		for i := range j {
			for _, g := range m.gaps(i, j) {
				d := fmt.Sprintf("(- z%d z%d)", j, i)
				say("(assert (or (<= %s %s) (>= %s %s)))", d, smt(g.lo), d, smt(g.hi))
			}
		}
	}
}

// smtResource asks that of every set of one more than there is room for, two
// lie one behind the other.
func (m *model) smtResource(say func(string, ...any), all []stretch, capacity int) {
	behind := func(a, b stretch) string { // b begins when a has ended, or later
		return fmt.Sprintf("(>= (- %s %s) %s)", b.from, a.to, smt(a.toOff-b.fromOff))
	}
	eachSet(len(all), capacity+1, func(set []int) {
		var ways []string
		for n, i := range set {
			for _, k := range set[:n] {
				if all[i].order == all[k].order {
					return // one behind the other already
				}
				ways = append(ways, behind(all[i], all[k]), behind(all[k], all[i]))
			}
		}
		say("(assert (or %s))", strings.Join(ways, " "))
	})
}

// eachSet visits every set of so many of the numbers below n.
func eachSet(n, size int, do func([]int)) {
	set := make([]int, 0, size)
	var from func(int)
	from = func(i int) {
		if len(set) == size {
			do(set)
			return
		}
		for ; i < n; i++ {
			set = append(set, i)
			from(i + 1)
			set = set[:len(set)-1]
		}
	}
	from(0)
}

// lp writes the model as a mixed integer program in the LP format, with a
// choice and a large constant for each pair of acts, or each gap; "" where
// it would be too large.
func (m *model) lp() string {
	var rows, choices []string
	either := func(a, b string) { // a or b, each written as 'expression >= %d'-like row with room for the choice
		y := fmt.Sprintf("y%d", len(choices))
		choices = append(choices, y)
		rows = append(rows, fmt.Sprintf(a, y), fmt.Sprintf(b, y))
	}
	far := m.p.Horizon + 600 // more than any two moments lie apart
	for _, r := range m.least {
		switch {
		case r.from == "":
			rows = append(rows, fmt.Sprintf("%s >= %d", r.to, r.least))
		case r.to == "":
			rows = append(rows, fmt.Sprintf("%s <= %d", r.from, -r.least))
		default:
			rows = append(rows, fmt.Sprintf("%s - %s >= %d", r.to, r.from, r.least))
		}
	}
	for r, res := range m.p.Resources {
		if res.Capacity > 1 {
			more, first, can := m.lpSets(r, res.Capacity, far, len(choices))
			if !can {
				return ""
			}
			rows, choices = append(rows, more...), append(choices, first...)
		}
		if res.Capacity > 1 || m.rigid {
			continue
		}
		for i, a := range m.takes[r] {
			for _, b := range m.takes[r][:i] {
				if a.order != b.order {
					either(fmt.Sprintf("%s - %s + %d %%s >= %d", b.from, a.to, far, a.toOff-b.fromOff), fmt.Sprintf("%s - %s - %d %%s >= %d", a.from, b.to, far, b.toOff-a.fromOff-far))
				}
			}
		}
	}
	for j := range m.p.Orders {
		for i := range j {
			if !m.rigid {
				break
			}
			for _, g := range m.gaps(i, j) {
				either(fmt.Sprintf("z%d - z%d - %d %%s <= %d", j, i, far, g.lo), fmt.Sprintf("z%d - z%d - %d %%s >= %d", j, i, far, g.hi-far))
			}
		}
	}
	return m.lpText(rows, choices)
}

// mostSets is how many sets of acts a program may hold: beyond it the general
// solvers are not asked.
const mostSets = 3000

// lpSets asks that of every set of one more than there is room for, one lies
// behind another; a choice says which. It reports whether those are few enough.
func (m *model) lpSets(r, capacity, far, from int) (rows, choices []string, can bool) {
	all, sets := m.takes[r], 0
	choice := map[[2]int]string{}
	behind := func(i, k int) string { // all[k] begins when all[i] has ended, or later
		if y, is := choice[[2]int{i, k}]; is {
			return y
		}
		y := fmt.Sprintf("y%d", from+len(choices))
		a, b := all[i], all[k]
		choice[[2]int{i, k}], choices = y, append(choices, y)
		rows = append(rows, fmt.Sprintf("%s - %s - %d %s >= %d", b.from, a.to, far, y, a.toOff-b.fromOff-far))
		return y
	}
	eachSet(len(all), capacity+1, func(set []int) {
		if sets++; sets > mostSets {
			return
		}
		var ways []string
		for n, i := range set {
			for _, k := range set[:n] {
				if all[i].order == all[k].order {
					return
				}
				ways = append(ways, behind(i, k), behind(k, i))
			}
		}
		rows = append(rows, strings.Join(ways, " + ")+" >= 1")
	})
	return rows, choices, sets <= mostSets
}

func (m *model) lpText(rows, choices []string) string {
	var b strings.Builder
	var sum []string
	constant := 0
	for j := range m.p.Orders {
		v, off := m.ready(j)
		sum, constant = append(sum, v), constant+off
		if m.p.Goal == bar.End {
			rows = append(rows, fmt.Sprintf("cost - %s >= %d", v, off))
		}
	}
	if m.p.Goal != bar.End {
		rows = append(rows, fmt.Sprintf("cost - %s = %d", strings.Join(sum, " - "), constant))
	}
	b.WriteString("Minimize\n obj: cost\nSubject To\n")
	for i, row := range rows {
		fmt.Fprintf(&b, " c%d: %s\n", i, row)
	}
	b.WriteString("Bounds\n 0 <= cost <= 1000000\n")
	for _, v := range m.vars {
		fmt.Fprintf(&b, " %d <= %s <= %d\n", -m.p.Horizon, v, m.p.Horizon)
	}
	fmt.Fprintf(&b, "Generals\n %s cost\nBinaries\n %s\nEnd\n", strings.Join(m.vars, "\n "), strings.Join(choices, "\n "))
	return b.String()
}
