package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"barline/brew/drift"
	"barline/brew/drift/stat"
)

// idShown is how much of an id is written: the millisecond in it.
const idShown = 13

// mostFlagged is how many flagged points are written, the latest.
const mostFlagged = 20

// chart writes the control chart of one version.
func (b beatTold) chart(w io.Writer, c drift.Chart, when func(time.Time) string) {
	fmt.Fprintf(w, "\ncontrol chart of the %s, version %s\n", b.measured(), c.Version)
	if c.Withheld != "" {
		lines(w, "  ", c.Words(b.rate()))
		return
	}
	at := func(i int) string { return when(b.series.Start(c.Points[i])) }
	from := fmt.Sprintf("the first %d", c.Judge-c.From)
	if c.Frozen {
		from = fmt.Sprintf("frozen, %d", c.Judge-c.From)
	}
	if c.Lacks > 0 {
		from += fmt.Sprintf(" (its %s not here)", missingBrews(c.Lacks))
	}
	lines(w, "  ", fmt.Sprintf("limits %s to %s %s, centre %s, sigma %.2f; baseline %s, %s to %s", off(figure(c.Limits.Low)), off(figure(c.Limits.High)), b.series.Unit(),
		off(figure(c.Limits.Centre)), c.Limits.Sigma, from, at(c.From), at(c.Judge-1)))
	judged := len(c.Points) - c.Judge
	lines(w, "  ", fmt.Sprintf("%s judged: %s", counted(judged, "brew"), c.Words(b.rate())))
	if judged == 0 {
		return
	}
	lines(w, "  ", fmt.Sprintf("%d outside the limits; with so many brews, one or more are by chance alone in %.0f %% of charts", c.Outside, 100*c.ByChance))
	lines(w, "  ", fmt.Sprintf("moving ranges, from brew to brew: mean %s, limit %s %s; %d of %d beyond it", size(figure(c.Limits.MeanRange)), size(figure(c.Limits.HighRange)), b.series.Unit(), c.RangesOutside, judged))
	lines(w, "  ", "moving average (EWMA): "+b.signal(c, func(i int) bool { return c.EWMA[i].Out() }, when))
	lines(w, "  ", "cumulative sums (CUSUM): "+b.signal(c, func(i int) bool { return c.CUSUM[i].Out }, when))
	b.flagged(w, c, when)
}

// missingBrews says how many brews are lacking.
func missingBrews(n int) string {
	if n == 1 {
		return "1 other is"
	}
	return fmt.Sprintf("%d others are", n)
}

func (b beatTold) measured() string {
	if b.column.What == drift.Beats {
		return "slip"
	}
	return string(b.column.What)
}

// signal says when a chart with a memory signalled first, and whether it still
// does.
func (b beatTold) signal(c drift.Chart, out func(i int) bool, when func(time.Time) string) string {
	first, last := -1, len(c.EWMA)-1
	for i := range c.EWMA {
		if out(i) {
			first = i
			break
		}
	}
	if first < 0 {
		return "no signal"
	}
	text := "signals first at " + when(b.series.Start(c.Points[c.Judge+first]))
	if out(last) {
		return text + ", and at the latest brew"
	}
	return text + ", not at the latest brew"
}

// flagged lists the points that complete a rule, the latest first.
func (b beatTold) flagged(w io.Writer, c drift.Chart, when func(time.Time) string) {
	var at []int
	for i, r := range c.Rules {
		if r != 0 {
			at = append(at, i)
		}
	}
	if len(at) == 0 {
		fmt.Fprintln(w, "  flagged by a rule: no point")
		return
	}
	head := fmt.Sprintf("flagged by a rule: %s; drawn, not claimed: chance makes some in any long chart", counted(len(at), "point"))
	if len(at) > mostFlagged {
		head += fmt.Sprintf("; the latest %d", mostFlagged)
		at = at[len(at)-mostFlagged:]
	}
	lines(w, "  ", head)
	slices.Reverse(at)
	for _, i := range at {
		n := c.Points[c.Judge+i]
		lines(w, "  - ", fmt.Sprintf("%s %s %s %s: %s", b.idOf(n)[:idShown], when(b.series.Start(n)), off(figure(b.series.Values[n])), b.series.Unit(), strings.Join(ruleWords(c.Rules[i]), "; ")))
	}
}

// idOf returns the id of the brew of value n.
func (b beatTold) idOf(n int) string { return idText(b.record.Head(int(b.series.Brews[n])).ID) }

// ruleWords says each rule once, though two sets of rules share it.
func ruleWords(s stat.RuleSet) []string {
	var out []string
	for i, r := range stat.Rules() {
		if s.Has(i) && !slices.Contains(out, r.Words) {
			out = append(out, r.Words)
		}
	}
	return out
}
