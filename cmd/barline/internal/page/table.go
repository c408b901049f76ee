package page

import (
	"fmt"
	"slices"

	"barline/brew/drift"
)

// row is a row of the table: one beat, length or weight.
type row struct {
	summary drift.Summary // by drift
	trend   drift.Trend   // of a beat's slips, else as the summary
	chart   drift.Chart   // of the same, of the newest version
}

func (p *paper) table() []row {
	var out []row
	for _, s := range p.set.Table(drift.ByDrift) {
		if s.Column.What == drift.Weights && s.Tally.Marked == 0 {
			continue // nobody weighed
		}
		series, _ := p.set.Series(s.Column.What, s.Column.Key, drift.BySlip)
		r := row{summary: s, trend: series.Trend()}
		for _, c := range series.Control(p.Baseline) {
			if c.Version == p.set.Version() {
				r.chart = c
			}
		}
		if r.chart.Version == "" {
			r.chart.Withheld = drift.TooFew
		}
		out = append(out, r)
	}
	return out
}

// rate is how often one word on a column may be chance alone, so that those on all
// together are wrong no oftener than the findings.
func (p *paper) rate() float64 { return drift.PageRate / float64(2*max(len(p.set.Columns()), 1)) }

// withheld collects why figures are not shown; each reason has a letter.
type withheld []string

func (w *withheld) letter(reason string) string {
	i := slices.Index(*w, reason)
	if i < 0 {
		i, *w = len(*w), append(*w, reason)
	}
	if i < 26 {
		return string(rune('a' + i))
	}
	return fmt.Sprint(i + 1)
}

// why stands in a cell in place of a figure.
func (p *paper) why(figure string, reason drift.Reason) trusted {
	letter := p.withheld.letter(reason.Because(figure))
	return trusted(fmt.Sprintf(`<a class="why" href="#why-%s"><span class="unseen">withheld, note </span>– <sup>%s</sup></a>`, letter, letter))
}

// beats writes the table.
func (p *paper) beats() {
	p.put("<h2>Beat by beat</h2>\n")
	p.open("How far from the plan, beat by beat", "How far from the plan: + is late, longer or too much. Half of the brews lie in the middle half. On time is the share in the window, with its 95 % interval. Trend and limits are of the slips.")
	p.columns("Beat", "n", "missing", "median", "middle half", "on time, %", "trend", "limits")
	for _, part := range []struct {
		what  drift.What
		title string
	}{{drift.Beats, "Beats, drift in s"}, {drift.Lengths, "Lengths, off the plan in s"}, {drift.Weights, "Weights, off the target in g"}} {
		rows := slices.DeleteFunc(slices.Clone(p.rows), func(r row) bool { return r.summary.Column.What != part.what })
		if len(rows) == 0 {
			continue
		}
		p.put("<tbody>\n<tr><th scope=\"rowgroup\" colspan=\"8\">%s</th></tr>\n", part.title)
		for _, r := range rows {
			p.row(r)
		}
		p.put("</tbody>\n")
	}
	p.put("</table>\n</div>\n")
	p.reasons()
}

// open begins a table, with its name for who does not see it, and what it tells.
// The latter stands before the table, so that paper does not part them.
func (p *paper) open(name, tells string) {
	p.put("<p class=\"faint\">%s</p>\n<div class=\"wide\">\n<table>\n<caption class=\"unseen\">%s</caption>\n", tells, name)
}

// columns writes the head of a table: names of what is in words stand left, of
// figures right.
func (p *paper) columns(names ...string) {
	p.put("<thead>\n<tr>")
	for _, name := range names {
		class := ` class="n"`
		if slices.Contains(inWords, name) {
			class = ""
		}
		p.put(`<th scope="col"%s>%s</th>`, trusted(class), name)
	}
	p.put("</tr>\n</thead>\n")
}

// inWords are the columns that hold no figures.
var inWords = []string{"Beat", "trend", "limits", "Person", "version", "how it stands", "beat"}

func (p *paper) row(r row) {
	s := r.summary
	p.put(`<tr><th scope="row">%s</th><td class="n">%d</td><td class="n">%v</td><td class="n">%s</td><td class="n">%s</td><td class="n">%s</td><td>%s</td><td>%s</td></tr>`+"\n",
		s.Column.Name, s.Tally.Marked, p.missing(s), p.figure("median", s.Median), p.middle(s), p.share(s.OnTime), p.trending(r), p.limited(r))
}

// missing is how many marks there are not. A weight that nobody took is not
// missing.
func (p *paper) missing(s drift.Summary) any {
	if s.Column.What == drift.Weights {
		return ""
	}
	return s.Tally.Unmarked + s.Tally.Skipped + s.Tally.NotReached
}

func (p *paper) figure(name string, f drift.Figure) trusted {
	if f.Withheld != "" {
		return p.why(name, f.Withheld)
	}
	return trusted(amount(f.Value))
}

func (p *paper) middle(s drift.Summary) trusted {
	if s.Lower.Withheld != "" {
		return p.why("quartiles", s.Lower.Withheld)
	}
	return trusted(amount(s.Lower.Value) + " to " + amount(s.Upper.Value))
}

func (p *paper) share(s drift.Share) trusted {
	switch s.Withheld {
	case "":
		return trusted(fmt.Sprintf("%.0f (%.0f–%.0f)", 100*s.Rate(), 100*s.In.Low, 100*s.In.High))
	case drift.NoWindow:
		return `<span class="unseen">no window</span>`
	}
	return p.why("share on time", s.Withheld)
}

func (p *paper) trending(r row) trusted {
	if r.trend.Withheld != "" {
		return p.why("trend", r.trend.Withheld)
	}
	word := r.trend.Word(p.rate())
	if word != "no trend" {
		word += fmt.Sprintf(", %s a week", with(slope(r.trend.Line.Slope), r.summary.Unit))
	}
	return trusted(escaped(word))
}

func (p *paper) limited(r row) trusted {
	if r.chart.Withheld != "" {
		return p.why("limits", r.chart.Withheld)
	}
	return trusted(escaped(r.chart.Word(p.rate())))
}

// reasons says why figures of a table are withheld, as far as no table before
// has said it.
func (p *paper) reasons() {
	if p.reasoned == len(p.withheld) {
		return
	}
	p.put("<ul class=\"faint\">\n")
	for _, reason := range p.withheld[p.reasoned:] {
		letter := p.withheld.letter(reason)
		p.put("<li id=\"why-%s\"><b>%s</b> withheld: %s</li>\n", letter, letter, reason)
	}
	p.put("</ul>\n")
	p.reasoned = len(p.withheld)
}
