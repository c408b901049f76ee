package main

import (
	"fmt"
	"io"
	"math"
	"slices"

	"barline/brew/bar"
)

// print writes the days for people.
func (s *simulation) print(w io.Writer, width int) {
	hours, all := s.hours(), s.over(-1, total)
	paragraph(w, width, fmt.Sprintf("%s from seed %d, %d:00 to %d:00, %s", counted(s.days, "day"), s.seed, s.opens, s.opens+len(hours), kitInWords(s.standing)))
	fmt.Fprintln(w)
	s.printHours(w, width, append(hours, all))
	fmt.Fprintln(w)
	s.printSpread(w, width)
	s.printBottlenecks(w, width, hours)
	fmt.Fprintln(w)
	s.printEffects(w, width)
	fmt.Fprintln(w)
	for _, e := range s.effects() {
		paragraph(w, width, s.question(e.what)+" "+s.answer(e))
	}
}

// shown are the resources of the table.
var shown = []int{bar.Hands, bar.Brewer, bar.Kettle}

func (s *simulation) printHours(w io.Writer, width int, hours []hourOf) {
	columns := []column{{"hour", true, false}, {"orders", true, false}, {"mean wait", true, false}, {"longest", true, false}}
	for _, r := range shown {
		columns = append(columns, column{s.name(r), true, true})
	}
	columns = append(columns, column{"", false, false})
	var rows [][]string
	for _, h := range hours {
		row := []string{hourText(h.hour), fmt.Sprintf("%.1f", h.orders), "-", "-"}
		if h.orders > 0 {
			row[2], row[3] = longAs(h.wait), clockOf(h.worst)
		}
		for _, r := range shown {
			row = append(row, fmt.Sprintf("%.0f %%", 100*h.busy[r]))
		}
		note := ""
		if h.bottleneck >= 0 {
			note = "short of " + s.name(h.bottleneck)
		}
		rows = append(rows, append(row, note))
	}
	writeTable(w, width, columns, rows)
}

func hourText(hour int) string {
	if hour < 0 {
		return "all"
	}
	return fmt.Sprintf("%d:00", hour)
}

// name returns what a resource is called for people.
func (s *simulation) name(r int) string {
	names := []string{"people", "brewers", "kettle", "scales", "voice"}
	if r == bar.Kettle && s.standing.Kettles > 1 {
		return "kettles"
	}
	return names[r]
}

// printSpread says how far days differ.
func (s *simulation) printSpread(w io.Writer, width int) {
	each := waits(s.base)
	if len(each) == 0 {
		paragraph(w, width, "nobody ordered anything")
		return
	}
	if len(each) == 1 {
		paragraph(w, width, "mean wait of the day "+longAs(each[0])+"; one day says nothing of chance")
		return
	}
	of := meanOf(each, level)
	paragraph(w, width, fmt.Sprintf("mean wait of a day %s (%s at %.0f %%), the best day %s, the worst %s", longAs(of.mean), intervalOf(of), 100*level, longAs(slices.Min(each)), longAs(slices.Max(each))))
}

// printBottlenecks says when what was short.
func (s *simulation) printBottlenecks(w io.Writer, width int, hours []hourOf) {
	any := false
	for from := 0; from < len(hours); {
		to, most := from+1, hours[from].gain
		for to < len(hours) && hours[to].bottleneck == hours[from].bottleneck {
			most = max(most, hours[to].gain)
			to++
		}
		if r := hours[from].bottleneck; r >= 0 {
			paragraph(w, width, fmt.Sprintf("from %d:00 to %d:00 it is short of %s: with one more the mean wait of an hour would be up to %s shorter", s.opens+from, s.opens+to, s.name(r), longAs(most)))
			any = true
		}
		from = to
	}
	switch {
	case any:
	case s.days == 1:
		paragraph(w, width, "one day cannot tell what is short")
	default:
		paragraph(w, width, fmt.Sprintf("in no hour would one more person or brewer surely shorten the mean wait by %.0f s", s.worth.Seconds()))
	}
}

func (s *simulation) printEffects(w io.Writer, width int) {
	columns := []column{{"with", false, false}, {"mean wait", true, true}, {"shorter by", true, false}, {fmt.Sprintf("at %.0f %% together", 100*level), false, false}}
	rows := [][]string{{"all as it is", meanText(waits(s.base)), "", ""}}
	for _, e := range s.effects() {
		within := "one day cannot tell"
		if !math.IsInf(e.less.low, 0) {
			within = intervalOf(e.less)
		}
		rows = append(rows, []string{e.what, longAs(e.wait), signedOf(e.less.mean), within})
	}
	writeTable(w, width, columns, rows)
}

func meanText(xs []float64) string {
	if len(xs) == 0 {
		return "-"
	}
	return longAs(mean(xs))
}

// question returns what a change is the answer to.
func (s *simulation) question(what string) string {
	switch what {
	case s.what[0]:
		return fmt.Sprintf("a %s brewer?", ordinal(s.standing.Brewers+1))
	case s.what[1]:
		return fmt.Sprintf("a %s person?", ordinal(s.standing.People+1))
	}
	return what + "?"
}

// The JSON of simulated days, schema 1: seconds and shares, null where there
// is nothing to tell.
type jsonDays struct {
	Schema    int           `json:"schema"`
	Days      int           `json:"days"`
	Seed      uint64        `json:"seed"`
	Hours     []jsonHour    `json:"hours"`
	MeanWaitS *float64      `json:"mean_wait_s"`
	LowS      *float64      `json:"mean_wait_low_s"`
	HighS     *float64      `json:"mean_wait_high_s"`
	Level     float64       `json:"level"`
	Changes   []jsonChanged `json:"changes"`
}

type jsonHour struct {
	From       string             `json:"from"`
	Orders     float64            `json:"orders_a_day"`
	MeanWaitS  *float64           `json:"mean_wait_s"`
	LongestS   int                `json:"longest_s"`
	Busy       map[string]float64 `json:"busy"`
	Bottleneck *string            `json:"bottleneck"`
}

type jsonChanged struct {
	With      string   `json:"with"`
	MeanWaitS *float64 `json:"mean_wait_s"`
	LessS     *float64 `json:"less_s"`
	LessLowS  *float64 `json:"less_low_s"`
	LessHighS *float64 `json:"less_high_s"`
	Answer    string   `json:"answer"`
}

func (s *simulation) json() jsonDays {
	of := meanOf(waits(s.base), level)
	out := jsonDays{Schema: 1, Days: s.days, Seed: s.seed, Level: level, MeanWaitS: orNull(of.mean), LowS: orNull(of.low), HighS: orNull(of.high)}
	resources := s.standing.Resources()
	for _, h := range s.hours() {
		row := jsonHour{From: hourText(h.hour), Orders: thousandth(h.orders), MeanWaitS: orNull(h.wait), LongestS: h.worst, Busy: map[string]float64{}}
		for _, r := range []int{bar.Hands, bar.Brewer, bar.Kettle, bar.Scale} {
			row.Busy[resources[r].Name] = thousandth(h.busy[r])
		}
		if h.bottleneck >= 0 {
			row.Bottleneck = &resources[h.bottleneck].Name
		}
		out.Hours = append(out.Hours, row)
	}
	for _, e := range s.effects() {
		out.Changes = append(out.Changes, jsonChanged{e.what, orNull(e.wait), orNull(e.less.mean), orNull(e.less.low), orNull(e.less.high), s.question(e.what) + " " + s.answer(e)})
	}
	return out
}

// orNull returns a figure to a thousandth, nil for none.
func orNull(x float64) *float64 {
	return some(thousandth(x), !math.IsNaN(x) && !math.IsInf(x, 0))
}
