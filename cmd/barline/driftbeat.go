package main

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"barline/brew/drift"
	"barline/brew/drift/stat"
)

// rate is how often a word on a chart or a trend may be chance alone, so that
// those on all columns together are wrong no oftener than the findings: the same
// as on the drift page and in a report.
func (m lookedAt) rate() float64 {
	return drift.PageRate / float64(2*max(len(m.set.Columns()), 1))
}

// driftOfBeat writes all that is known of one beat, length or weight.
func (a *app) driftOfBeat(m lookedAt) error {
	column, err := m.column(m.flags.beat)
	if err != nil {
		return err
	}
	b, err := m.beatTold(column)
	if err != nil {
		return err
	}
	if m.flags.json {
		out := m.jsonHead()
		out.Beat = b.json()
		if b.pair != nil {
			out.Against = b.pair.json(nil, &b.compared)
		}
		return writeJSON(a.stdout, out)
	}
	w := bufio.NewWriter(a.stdout)
	m.head(w)
	b.text(w, a.when)
	return w.Flush()
}

// column returns what is meant by a key or a name, whatever the case. A length
// and a weight are also called so, for one may have the name of a beat.
func (m lookedAt) column(name string) (drift.Column, error) {
	columns := m.set.Columns()
	if i := slices.IndexFunc(columns, func(c drift.Column) bool { return isCalled(c, name) }); i >= 0 {
		return columns[i], nil
	}
	var names []string
	for _, c := range columns {
		names = append(names, rowName(c))
	}
	return drift.Column{}, &inputError{fmt.Sprintf("%s has no beat, length or weight %q", m.recipe, name), "it has " + strings.Join(names, "; ")}
}

// isCalled reports whether a column has that key or name, which may say of what
// it is: 'weight of bloom, end'.
func isCalled(c drift.Column, name string) bool {
	of := string(c.What) + " of "
	if name = strings.TrimSpace(name); len(name) > len(of) && strings.EqualFold(name[:len(of)], of) {
		name = name[len(of):]
	}
	return strings.EqualFold(c.Key, name) || strings.EqualFold(c.Name, name)
}

// beatTold is all that is said of one column.
type beatTold struct {
	lookedAt
	column drift.Column
	rows   []drift.Summary // by drift, and of a beat by slip and by what was carried
	weight *drift.Summary  // at the beat, where somebody weighed
	series drift.Series    // what the charts and the trend are of
	charts []drift.Chart
	trend  drift.Trend

	pair     *pair // nil where there is no second set
	compared drift.Comparison
}

func (m lookedAt) beatTold(c drift.Column) (beatTold, error) {
	b := beatTold{lookedAt: m, column: c}
	measures := []drift.Measure{drift.ByDrift, drift.BySlip, drift.ByCarried}
	by := drift.BySlip
	if c.What != drift.Beats {
		measures, by = measures[:1], drift.ByDrift
	}
	for _, measure := range measures {
		s, _ := m.set.Series(c.What, c.Key, measure)
		b.rows = append(b.rows, s.Summary())
		if measure == by {
			b.series = s
		}
	}
	if s, ok := m.set.Series(drift.Weights, c.Key, drift.ByDrift); ok && c.What == drift.Beats && s.Tally.Marked > 0 {
		row := s.Summary()
		b.weight = &row
	}
	b.charts, b.trend = b.series.Control(m.baseline), b.series.Trend()
	var err error
	if b.pair, err = m.apart(); err != nil || b.pair == nil {
		return b, err
	}
	x, _ := b.pair.a.Series(c.What, c.Key, by)
	y, ok := b.pair.b.Series(c.What, c.Key, by)
	if !ok || !x.Column.Joins(y.Column) {
		return b, &inputError{fmt.Sprintf("%s of version %s is not that of version %s", c.Name, b.pair.a.Version(), b.pair.b.Version()), "only what is done alike, as long and in the same window can be compared"}
	}
	b.compared = drift.Compare(x, y)
	return b, nil
}

// text writes it for people. when says a moment as the configuration wants it.
func (b beatTold) text(w io.Writer, when func(time.Time) string) {
	fmt.Fprintf(w, "\n%s", b.column.Name)
	if b.column.HasWindow {
		fmt.Fprintf(w, ", window %s to %s s", off(figure(-b.column.Window.Early.Seconds())), off(figure(b.column.Window.Late.Seconds())))
	}
	fmt.Fprintln(w)
	rows := slices.Clone(b.rows)
	if b.weight != nil {
		rows = append(rows, *b.weight)
	}
	for _, s := range rows {
		b.figures(w, s)
	}
	list(w, "not marked", lacking(b.rows[0]))
	for _, c := range b.charts {
		b.chart(w, c, when)
	}
	b.trending(w)
	b.against(w)
}

// against writes how far the second set is off.
func (b beatTold) against(w io.Writer) {
	if b.pair == nil {
		return
	}
	fmt.Fprintln(w)
	b.pair.head(w)
	c, unit := b.compared, b.series.Unit()
	if c.Withheld != "" {
		lines(w, "  ", "withheld: "+c.Withheld.Because("comparison"))
		return
	}
	lines(w, "  ", fmt.Sprintf("%s: the former is off the latter by %s %s (%s to %s); as far by chance in %s, for this one beat alone", b.column.Name,
		off(figure(c.Shift.By)), unit, off(figure(c.Shift.In.Low)), off(figure(c.Shift.In.High)), chance(c.P)))
}

func figure(x float64) drift.Figure { return drift.Figure{Value: x} }

// figures writes the summary by one measure.
func (b beatTold) figures(w io.Writer, s drift.Summary) {
	title := string(s.Measure)
	switch s.Column.What {
	case drift.Lengths:
		title = "length, off the plan"
	case drift.Weights:
		title = "weight, off the target"
	}
	fmt.Fprintf(w, "\n%s, %s\n", title, s.Unit)
	say := func(name string, f drift.Figure, show func(drift.Figure) string) {
		if f.Withheld != "" {
			figure, _, _ := strings.Cut(name, ",")
			lines(w, "  ", fmt.Sprintf("%s withheld: %s", name, f.Withheld.Because(figure)))
			return
		}
		fmt.Fprintf(w, "  %-22s%s\n", name, show(f))
	}
	fmt.Fprintf(w, "  %-22s%d\n", "n", s.Tally.Marked)
	say("median", s.Median, off)
	say("mean", s.Mean, off)
	say("standard deviation", s.SD, size)
	say("quartiles", s.Lower, func(drift.Figure) string { return between(s.Lower, s.Upper) })
	say("smallest and largest", s.Min, func(drift.Figure) string { return between(s.Min, s.Max) })
	if s.OnTime.Withheld == "" {
		fmt.Fprintf(w, "  %-22s%s, %d early, %d late\n", "on time", onTime(s.OnTime), s.Tally.Early, s.Tally.Late)
	}
	if s.Measure == drift.ByCarried || !s.Column.HasWindow {
		return
	}
	within := func(f drift.Figure, in stat.Interval) string {
		return fmt.Sprintf("%.2f (%.2f to %.2f)", f.Value, in.Low, in.High)
	}
	say("capability, Cp", s.Able.Cp, func(f drift.Figure) string { return within(f, s.Able.CpIn) })
	say("capability, Cpk", s.Able.Cpk, func(f drift.Figure) string { return within(f, s.Able.CpkIn) })
	if caveat := b.caveat(); caveat != "" && s.Able.Cpk.Withheld == "" {
		lines(w, "  ", "("+caveat+")")
	}
}

// caveat says under what capability must be read: that a chart shows a change,
// or what the newest version's says.
func (b beatTold) caveat() string {
	if len(b.charts) == 0 {
		return ""
	}
	c := b.charts[len(b.charts)-1]
	if i := slices.IndexFunc(b.charts, func(c drift.Chart) bool { return c.Changed(b.rate()) }); i >= 0 {
		c = b.charts[i]
	}
	return c.Caveat(b.rate())
}

// trending writes where the values go.
func (b beatTold) trending(w io.Writer) {
	t := b.trend
	fmt.Fprintf(w, "\ntrend of the %s\n", b.measured())
	if t.Withheld != "" {
		lines(w, "  ", "withheld: "+t.Withheld.Because("trend"))
		return
	}
	used := fmt.Sprintf("of %d values", t.Used)
	if t.Used < t.Of {
		used = fmt.Sprintf("of the latest %d of %d values", t.Used, t.Of)
	}
	lines(w, "  ", fmt.Sprintf("%s, by %+.2f %s a week (%+.2f to %+.2f), %s; as strong by chance in %s", t.Word(b.rate()), t.Line.Slope, b.series.Unit(), t.Line.In.Low, t.Line.In.High, used, chance(t.P)))
}

// chance says a probability in words.
func chance(p float64) string {
	if p < 0.001 {
		return "fewer than 1 of 1000"
	}
	return fmt.Sprintf("%.0f of 1000", math.Round(1000*p))
}
