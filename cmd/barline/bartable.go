package main

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"barline/brew"
	"barline/brew/bar"
)

// print writes the round for people.
func (r *barRound) print(w io.Writer, width int) {
	r.summary(w, width)
	fmt.Fprintln(w)
	r.printOrders(w, width)
	r.printDelays(w, width)
	fmt.Fprintln(w)
	printDoings(w, width, r.problem, r.plan, r.kit.People, "order", func(n int) string { return called(n, r.problem.Orders[n]) }, r.prompt)
}

// printOrders writes when each order is ready.
func (r *barRound) printOrders(w io.Writer, width int) {
	columns := []column{{"order", false, false}, {"placed", true, true}, {"starts", true, true}, {"ready", true, false}, {"waits", true, false}, {"recipe", false, false}}
	var rows [][]string
	for j, o := range r.problem.Orders {
		ready := r.problem.Ready(r.plan, j)
		rows = append(rows, []string{called(j, o), clockOf(o.Placed), clockOf(r.plan.Zeros[j]), clockOf(ready), clockOf(ready - o.Placed), dish(r.menu.plans[o.Pattern], o)})
	}
	writeTable(w, width, columns, rows)
}

// printDelays says which orders wait longer than they would by themselves,
// and what for.
func (r *barRound) printDelays(w io.Writer, width int) {
	delays := r.problem.Delays(r.plan)
	if slices.ContainsFunc(delays, func(d bar.Delay) bool { return d.Longer > 0 }) {
		fmt.Fprintln(w)
	}
	for j, d := range delays {
		if d.Longer > 0 {
			paragraph(w, width, r.delayed(j, d))
		}
	}
}

func (r *barRound) delayed(j int, d bar.Delay) string {
	text := fmt.Sprintf("%s waits %s longer than by itself", r.order(j), clockOf(d.Longer))
	if d.Act < 0 {
		return text + ", as other orders' work comes in between"
	}
	p := r.problem
	act, other := nameOf(p, bar.Need{Order: j, Act: d.Act}), nameOf(p, d.For)
	switch d.Resource {
	case bar.Brewer, bar.Scale:
		return text + fmt.Sprintf(": there is no %s for it until %s, when %s is done with one", p.Resources[d.Resource].Name, clockOf(d.Until), r.order(d.For.Order))
	case bar.Kettle:
		return text + fmt.Sprintf(": until %s the kettle is taken by %s's %s, then comes its %s", clockOf(d.Until), r.order(d.For.Order), other, act)
	}
	return text + fmt.Sprintf(": until %s the hands are taken by %s's %s, then comes its %s", clockOf(d.Until), r.order(d.For.Order), other, act)
}

// nameOf returns what an act is called in a sentence. What is prepared has no
// name but what is to be done, of which the beginning will do.
func nameOf(p *bar.Problem, n bar.Need) string {
	act := p.Patterns[p.Orders[n.Order].Pattern].Acts[n.Act]
	if act.Cue >= 0 {
		return act.Name
	}
	start, _, _ := strings.Cut(act.Name, ",")
	return "'" + start + "'"
}

// prompt returns what to do in words.
func (r *barRound) prompt(d doing) string {
	plan := r.menu.plans[r.problem.Orders[d.order].Pattern]
	if d.Cue < 0 {
		return d.Name
	}
	if c := plan.Cues[d.Cue]; c.Label != "" {
		return c.Label + ": " + c.Prompt
	}
	return plan.Cues[d.Cue].Prompt
}

// leastLull is how many seconds of nothing to do are worth telling.
const leastLull = 5

// printDoings writes who does what when, with everybody's free lulls; kind is
// what an order is called here.
func printDoings(w io.Writer, width int, p *bar.Problem, pl bar.Plan, people int, kind string, name func(int) string, prompt func(doing) string) {
	columns := []column{{"time", true, false}, {"until", true, true}, {kind, false, false}, {"what", false, false}}
	if people > 1 {
		columns = slices.Insert(columns, 2, column{"who", true, false})
	}
	var rows [][]string
	for _, line := range withLulls(p, doingsOf(p, pl), people, name, prompt) {
		row := []string{clockOf(line.from), clockOf(line.to), line.name, line.what}
		if people > 1 {
			row = slices.Insert(row, 2, whose(line.who))
		}
		rows = append(rows, row)
	}
	writeTable(w, width, columns, rows)
}

func whose(who int) string {
	if who < 0 {
		return "-"
	}
	return strconv.Itoa(who + 1)
}

// rowOf is a line of the table of doings.
type rowOf struct {
	from, to, who int
	name, what    string
}

// withLulls returns the lines of what is to be done and of everybody's lulls
// in between, in order of time.
func withLulls(p *bar.Problem, all []doing, people int, name func(int) string, prompt func(doing) string) (out []rowOf) {
	free := make([]int, people) // since when each has nothing to do
	for i := range free {
		free[i] = -1
	}
	for _, d := range all {
		what := prompt(d)
		if !d.busy() {
			what += " (hands free)"
		} else if d.who >= 0 {
			if since := free[d.who]; since >= 0 && d.from-since >= leastLull {
				lull := fmt.Sprintf("free for %s, until %s's %s", brew.Spoken(seconds(d.from-since)), name(d.order), nameOf(p, bar.Need{Order: d.order, Act: d.act}))
				out = append(out, rowOf{since, d.from, d.who, "", lull})
			}
			free[d.who] = d.to
		}
		out = append(out, rowOf{d.from, d.to, d.who, name(d.order), what})
	}
	slices.SortStableFunc(out, func(x, y rowOf) int { return x.from - y.from })
	return out
}
