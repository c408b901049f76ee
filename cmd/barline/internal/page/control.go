package page

import (
	"fmt"
	"slices"

	"barline/brew/drift"
)

// mostCharts is how many control charts a page has, those of the strongest
// findings.
const mostCharts = 8

// chart is the control chart that findings are to be seen in.
type chart struct {
	series   drift.Series
	person   string // "" for everyone
	versions []drift.Chart
	findings []int // of the page, counted from 0
}

// chartsOfFindings returns a chart for each beat and person that a finding is
// about, the strongest finding's first. What is carried is a matter of drifts,
// all else of slips.
func (p *paper) chartsOfFindings() []chart {
	var out []chart
	for i, f := range p.found.Findings {
		by := drift.BySlip
		if f.Claim == drift.ClaimCarried {
			by = drift.ByDrift
		}
		s := p.seriesOf(f, by)
		n := slices.IndexFunc(out, func(c chart) bool {
			return c.person == f.Person && c.series.Measure == by && c.series.Column.Key == s.Column.Key && c.series.Column.Version == s.Column.Version
		})
		switch {
		case n >= 0:
			out[n].findings = append(out[n].findings, i)
		case len(out) < mostCharts && len(s.Values) > 1:
			out = append(out, chart{series: s, person: f.Person, versions: s.Control(p.Baseline), findings: []int{i}})
		}
	}
	return out
}

// seriesOf returns the values that a finding is about: of its person, and with
// other versions where they can be joined.
func (p *paper) seriesOf(f drift.Finding, by drift.Measure) drift.Series {
	set := p.set
	if f.Person != "" {
		set = p.of(f.Person)
	}
	s, ok := set.Series(f.Column.What, f.Column.Key, by)
	if !ok || !s.Column.Joins(f.Column) {
		old := p.Record.Choose(drift.Choice{Version: f.Column.Version})
		s, _ = old.Without(old.Without(set)).Series(f.Column.What, f.Column.Key, by)
	}
	return s
}

// control writes the charts.
func (p *paper) control() {
	if len(p.charts) == 0 {
		return
	}
	p.put("<h2>Brew by brew</h2>\n<p>Each point is a brew, in the order of time. The broken lines are the limits that the brews of the baseline set; what goes on as it did then lies between them. A cross is outside. A tick below completes one of the run rules, which are drawn and not claimed: chance makes some in any long chart. The bars under a chart show how far each brew lies from the one before it.")
	if !p.shown() {
		p.put(" Findings beyond the %d strongest charts are not drawn.", mostCharts)
	}
	p.put("</p>\n")
	for i, c := range p.charts {
		p.chart(i+1, c)
	}
}

// shown reports whether each finding has its chart.
func (p *paper) shown() bool {
	n := 0
	for _, c := range p.charts {
		n += len(c.findings)
	}
	return n == len(p.found.Findings)
}

func (p *paper) chart(n int, c chart) {
	name := c.name()
	p.put("<figure id=\"chart-%d\">\n<figcaption><b>Chart %d: %s</b>%s</figcaption>\n<div class=\"wide\">\n", n, n, name, c.caption(p.rate()))
	marks, signs := p.brackets(c), p.signs(c)
	a := c.area()
	_, _, rows := laid(signs, a)
	a = a.below(len(marks)).above(rows)
	p.picture(fmt.Sprintf("control-%d", n), a.width, a.height, name+", brew by brew", p.chartWords(c), func() {
		p.frame(c, a)
		p.limits(c, a)
		p.points(c, a)
		p.bracket(marks, a)
		p.legend(signs, a)
	})
	p.ranges(n, c, a)
	p.put("</div>\n</figure>\n")
}

func (c chart) name() string {
	text := c.series.Column.Name + ", " + string(c.series.Measure)
	if c.person != "" {
		text += ", by " + c.person
	}
	return text
}

// newest returns the chart of the newest version.
func (c chart) newest() drift.Chart { return c.versions[len(c.versions)-1] }

// caption says how the newest version's chart stands.
func (c chart) caption(rate float64) string {
	last, unit := c.newest(), c.series.Unit()
	text := ""
	if len(c.versions) > 1 {
		text = "version " + last.Version + ": "
	}
	if last.Withheld != "" {
		return text + last.Words(rate)
	}
	text += fmt.Sprintf("limits %s to %s from a %s of %d brews, %s", amount(last.Limits.Low), with(amount(last.Limits.High), unit), baseline(last), last.Judge-last.From, c.between(last, last.From, last.Judge-1))
	if last.Lacks > 0 {
		text += fmt.Sprintf(" (%d more of it are not among these)", last.Lacks)
	}
	judged := len(last.Points) - last.Judge
	return text + fmt.Sprintf("; %s judged: %s, %d outside", counted(judged, "brew"), last.Words(rate), last.Outside)
}

func baseline(c drift.Chart) string {
	if c.Frozen {
		return "frozen baseline"
	}
	return "baseline"
}

// between says when points of a version's chart were.
func (c chart) between(v drift.Chart, from, to int) string {
	return days(c.series.Start(v.Points[from]), c.series.Start(v.Points[to]))
}

// chartWords says the picture for who does not see it.
func (p *paper) chartWords(c chart) string {
	from := c.from()
	text := fmt.Sprintf("A control chart of %s in the order of time, %s.", counted(len(c.series.Values)-from, "value"), days(c.series.Start(from), c.series.Start(len(c.series.Values)-1)))
	for _, v := range c.versions {
		if v.Withheld != "" {
			text += fmt.Sprintf(" Version %s, %s: %s.", v.Version, counted(len(v.Points), "value"), v.Words(p.rate()))
			continue
		}
		text += fmt.Sprintf(" Version %s: limits %s to %s, centre %s; of %d judged %d lie outside and %d complete a run rule; %s.", v.Version, amount(v.Limits.Low),
			with(amount(v.Limits.High), c.series.Unit()), amount(v.Limits.Centre), len(v.Points)-v.Judge, v.Outside, c.ruled(v), v.Words(p.rate()))
	}
	for _, i := range c.findings {
		text += fmt.Sprintf(" Finding %d: %s", i+1, sentence(p.found.Findings[i].Text))
	}
	return text
}

// ruled returns how many points complete a rule.
func (c chart) ruled(v drift.Chart) (n int) {
	for _, r := range v.Rules {
		if r != 0 {
			n++
		}
	}
	return n
}

// sign is an entry of the legend.
type sign struct {
	draw func(x, y float64)
	text string
}

// signs returns the signs that the chart holds.
func (p *paper) signs(c chart) []sign {
	var out []sign
	for n := range min(len(c.versions), len(shapes)) {
		v := c.versions[len(c.versions)-1-n]
		out = append(out, sign{func(x, y float64) { p.path(dotted(n), shapes[n](x, y)) }, "version " + v.Version})
	}
	if len(c.versions) > len(shapes) {
		out = append(out, sign{func(float64, float64) {}, "older: these again"})
	}
	if c.some(func(v drift.Chart) bool { return v.Outside > 0 }) {
		out = append(out, sign{func(x, y float64) { p.path("out", cross(x, y)) }, "outside the limits"})
	}
	if c.some(func(v drift.Chart) bool { return c.ruled(v) > 0 }) {
		out = append(out, sign{func(x, y float64) { p.line("tick", x, y-4, x, y+4) }, "completes a rule"})
	}
	if a := c.area(); slices.ContainsFunc(c.series.Values[a.from:], func(v float64) bool { return !a.holds(v) }) {
		out = append(out, sign{func(x, y float64) { p.path("beyond", arrow(x, y+1, true)) }, "beyond the picture"})
	}
	if c.series.Column.HasWindow {
		out = append(out, sign{func(x, y float64) { p.box("band", x-4, y-5, 10, 10); p.line("rule", x-4, y+5, x+6, y+5) }, "window"})
	}
	return out
}

// laid says where each sign of a legend stands, and how many rows they take: one
// behind the other, as far as they have room.
func laid(signs []sign, a area) (x []float64, row []int, rows int) {
	const letter, gap = 5.9, 24.0 // no letter of the legend's is wider on average
	at := a.left + 4
	for _, s := range signs {
		wide := 9 + letter*float64(len([]rune(s.text)))
		if at > a.left+4 && at+wide > a.right {
			at, rows = a.left+4, rows+1
		}
		x, row = append(x, at), append(row, rows)
		at += wide + gap
	}
	return x, row, rows + 1
}

// legend says what the signs mean.
func (p *paper) legend(signs []sign, a area) {
	x, row, _ := laid(signs, a)
	for i, s := range signs {
		y := a.bottom + 48 + 15*float64(row[i])
		s.draw(x[i], y-4)
		p.label("faint start", x[i]+9, y, s.text)
	}
}

func (c chart) some(is func(drift.Chart) bool) bool { return slices.ContainsFunc(c.versions, is) }

// dotted is the class of a version's shape.
func dotted(n int) string {
	if n%len(shapes) == 0 {
		return "dots round"
	}
	return "dots"
}

// bracket marks the brews that a finding is about.
type bracket struct{ finding, from, to int }

// brackets returns those of the chart's findings that are about some of the
// brews that are drawn.
func (p *paper) brackets(c chart) []bracket {
	var out []bracket
	for _, i := range c.findings {
		f := p.found.Findings[i]
		if f.First < 0 {
			continue
		}
		if from, to := c.span(p.Record, f); from <= to && to >= c.from() {
			out = append(out, bracket{i + 1, max(from, c.from()), to})
		}
	}
	return out
}

// bracket draws them above the chart, with their numbers.
func (p *paper) bracket(marks []bracket, a area) {
	for row, b := range marks {
		x1, x2, y := a.x(b.from)-3, a.x(b.to)+3, 12+13*float64(row)
		p.path("about", at(x1, y+5)+"V"+places(y)+"H"+places(x2)+"v5")
		anchor, x := "end", x1-4
		if x1 < a.left+60 {
			anchor, x = "start", x2+4
		}
		p.label("early "+anchor, x, y+4, fmt.Sprintf("finding %d", b.finding))
	}
}

// span returns the first and the last value of the brews a finding is about.
func (c chart) span(r *drift.Record, f drift.Finding) (from, to int) {
	first, last := r.Head(f.First).Start, r.Head(f.Last).Start
	from, to = len(c.series.Values), -1
	for i := range c.series.Values {
		if at := c.series.Start(i); !at.Before(first) && !at.After(last) {
			from, to = min(from, i), i
		}
	}
	return from, to
}
