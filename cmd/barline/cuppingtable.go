package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"barline/brew"
	"barline/tui/draw"
)

// print writes the table for people.
func (t cuppingTable) print(w io.Writer, width int, key bool) {
	people := counted(t.people, "person")
	if t.people > 1 {
		people = fmt.Sprintf("%d people", t.people)
	}
	paragraph(w, width, fmt.Sprintf("%s: %s, %s", t.plan.Name, counted(len(t.codes), "bowl"), people))
	paragraph(w, width, t.spaced())
	fmt.Fprintln(w)
	columns, rows := t.bowls()
	if fits(columns, rows, width) {
		writeTable(w, width, columns, rows)
	} else {
		t.printDoings(w, width)
	}
	fmt.Fprintln(w)
	t.printPasses(w, width)
	if t.people > 1 {
		fmt.Fprintln(w)
		t.printDoings(w, width)
	}
	fmt.Fprintln(w)
	t.printKey(w, width, key)
}

// spaced says how far apart the bowls are poured, and why.
func (t cuppingTable) spaced() string {
	text := fmt.Sprintf("a bowl is poured every %d s", t.laid.Every)
	switch {
	case len(t.codes) == 1:
		return "a single bowl"
	case t.given:
		text += ", as asked"
	case t.laid.Proven:
		text += ", the least that works"
	}
	if t.laid.Exact {
		return text + "; every crust is broken at its own time"
	}
	return text + "; crusts are broken inside their window, not all at their own time"
}

// bowls returns when each bowl has its turn; what is off its own time says by
// how much.
func (t cuppingTable) bowls() (columns []column, rows [][]string) {
	acts := t.laid.Problem.Patterns[0].Acts
	columns = []column{{"bowl", true, false}}
	for _, act := range acts {
		columns = append(columns, column{act.Name, false, false})
	}
	for j, starts := range t.laid.Plan.Starts {
		row := []string{strconv.Itoa(j + 1)}
		for a, at := range starts {
			text := clockOf(at)
			if t.plan.Cues[acts[a].Cue].Action != brew.Skim { // that is done when there is a hand free
				text += offTime(at - t.laid.Plan.Zeros[j] - acts[a].Start)
			}
			row = append(row, text)
		}
		rows = append(rows, row)
	}
	return columns, rows
}

func offTime(by int) string {
	if by == 0 {
		return ""
	}
	return fmt.Sprintf(" %+d s", by)
}

// fits reports whether a table stands in the width without going on below
// itself.
func fits(columns []column, rows [][]string, width int) bool {
	all := 0
	for i, c := range columns {
		most := draw.Width(c.head)
		for _, row := range rows {
			most = max(most, draw.Width(row[i]))
		}
		all += most + 2
	}
	return all-2 <= width
}

func (t cuppingTable) printDoings(w io.Writer, width int) {
	printDoings(w, width, t.laid.Problem, t.laid.Plan, t.people, "bowl", func(n int) string { return strconv.Itoa(n + 1) },
		func(d doing) string { return d.Name })
}

// printPasses says from when to when each pass takes.
func (t cuppingTable) printPasses(w io.Writer, width int) {
	last := len(t.codes) - 1
	var parts []string
	for a, act := range t.laid.Problem.Patterns[0].Acts {
		parts = append(parts, fmt.Sprintf("%s %s to %s", act.Name, clockOf(t.laid.Plan.Starts[0][a]), clockOf(t.laid.Plan.Starts[last][a]+act.Length)))
	}
	paragraph(w, width, "passes: "+strings.Join(parts, ", "))
}

// printKey writes whose each code is, where that is asked for.
func (t cuppingTable) printKey(w io.Writer, width int, key bool) {
	if !key {
		paragraph(w, width, fmt.Sprintf("the codes are those of seed %d; --seed %d --key shows them", t.seed, t.seed))
		return
	}
	columns, rows := []column{{"bowl", true, false}, {"code", false, false}, {"", false, false}}, [][]string{}
	if t.coffees != nil {
		columns[2].head = "coffee"
	}
	for j, code := range t.codes {
		coffee := ""
		if t.coffees != nil {
			coffee = t.coffees[j]
		}
		rows = append(rows, []string{strconv.Itoa(j + 1), code, coffee})
	}
	paragraph(w, width, fmt.Sprintf("the key, seed %d", t.seed))
	writeTable(w, width, columns, rows)
}

// The JSON of a table, schema 1: whole seconds from the first pour. Code and
// coffee are null without --key; off_s is how far a step is from its own time.
type jsonTable struct {
	Schema int            `json:"schema"`
	Recipe string         `json:"recipe"`
	EveryS int            `json:"every_s"`
	Exact  bool           `json:"exact"`
	Proven bool           `json:"proven"`
	EndS   int            `json:"end_s"`
	Seed   uint64         `json:"seed"`
	Bowls  []jsonBowl     `json:"bowls"`
	Steps  []jsonTableAct `json:"steps"`
}

type jsonBowl struct {
	N      int     `json:"n"`
	StartS int     `json:"start_s"`
	Code   *string `json:"code"`
	Coffee *string `json:"coffee"`
}

type jsonTableAct struct {
	Bowl   int         `json:"bowl"`
	Action brew.Action `json:"action"`
	Label  string      `json:"label"`
	StartS int         `json:"start_s"`
	EndS   int         `json:"end_s"`
	OffS   int         `json:"off_s"`
	Hands  brew.Hands  `json:"hands"`
	Uses   []string    `json:"uses"`
}

func (t cuppingTable) json(key bool) jsonTable {
	p, pl := t.laid.Problem, t.laid.Plan
	out := jsonTable{Schema: 1, Recipe: t.plan.Name, EveryS: t.laid.Every, Exact: t.laid.Exact, Proven: t.laid.Proven, Seed: t.seed}
	for j, at := range t.starts() {
		bowl := jsonBowl{N: j + 1, StartS: int(at.Seconds()), Code: some(t.codes[j], key)}
		if t.coffees != nil {
			bowl.Coffee = some(t.coffees[j], key)
		}
		out.Bowls = append(out.Bowls, bowl)
	}
	for _, d := range doingsOf(p, pl) {
		out.EndS = max(out.EndS, d.to)
		out.Steps = append(out.Steps, jsonTableAct{
			d.order + 1, t.plan.Cues[d.Cue].Action, d.Name, d.from, d.to, d.from - pl.Zeros[d.order] - d.Start, handsOf(d), uses(p, p.Patterns[0], d.act),
		})
	}
	return out
}
