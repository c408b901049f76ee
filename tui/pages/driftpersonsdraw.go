package pages

import (
	"fmt"
	"strings"

	"barline/brew/drift"
	"barline/tui/draw"

	"github.com/charmbracelet/bubbles/key"
)

// personColumns are how many cells each column of the persons' page takes, 0
// for one that is not shown.
type personColumns struct{ name, brews, bar, share, within, trend, tries, bound int }

// columnsFor fits the columns into a width: the bar takes what is left, and the
// attempts and their bound are what stays longest behind the share.
func (p driftPersons) columnsFor(width int) personColumns {
	c := personColumns{name: draw.Width("person"), share: draw.Width("share"), tries: draw.Width("tried"), bound: draw.Width("at least")}
	brews, within, trend := draw.Width("brews"), draw.Width("95 %"), draw.Width("slips")
	for _, r := range p.rows {
		c.name = max(c.name, draw.Width(named(r.name)))
		brews = max(brews, draw.Width(fmt.Sprint(r.onTime.N)))
		within = max(within, draw.Width(between(r.onTime)))
		trend = max(trend, draw.Width(r.trendWord(p.rate())))
		c.tries = max(c.tries, draw.Width(r.signs()))
	}
	for _, more := range []struct {
		column      *int
		width, from int
	}{{&c.brews, brews, 56}, {&c.within, within, 64}, {&c.trend, trend, 76}} {
		if width >= more.from {
			*more.column = more.width
		}
	}
	c.bar = c.left(width)
	if c.bar < leastStrip {
		c.name = max(c.name-leastStrip+c.bar, min(c.name, leastPerson))
		c.bar = c.left(width)
	}
	if c.bar < 5 {
		c.bar = 0
	}
	for _, least := range []*int{&c.bound, &c.tries} {
		if c.left(width) < 0 {
			*least = 0
		}
	}
	if over := -c.left(width); over > 0 {
		c.name = max(c.name-over, 0)
	}
	c.bar = min(c.bar, 60)
	return c
}

// widths are the columns behind the bar, in their order.
func (c personColumns) widths() []int {
	return []int{c.brews, c.share, c.within, c.trend, c.tries, c.bound}
}

// left is how many cells are left for the bar.
func (c personColumns) left(width int) int {
	used := leadWidth + c.name + 1
	for _, w := range c.widths() {
		if w > 0 {
			used += w + 1
		}
	}
	return width - used
}

// named is what a person is called.
func named(name string) string {
	if name == "" {
		return "nobody said"
	}
	return name
}

// between is the interval of a share, shorter than within.
func between(s drift.Share) string {
	if s.Withheld != "" {
		return ""
	}
	return fmt.Sprintf("%.0f-%.0f %%", 100*s.In.Low, 100*s.In.High)
}

// rate is driftTable's, for a word a person.
func (p driftPersons) rate() float64 { return drift.PageRate / float64(max(len(p.rows), 1)) }

// trendWord says whether the person's marks get closer to their calls.
func (p driftPerson) trendWord(rate float64) string {
	switch {
	case p.trend.Withheld != "":
		return short(p.trend.Withheld, "")
	case p.trend.P > rate:
		return "no trend"
	case p.trend.Kendall.S < 0:
		return "closer"
	}
	return "farther"
}

// mostSigns is how many attempts have a sign each; more are counted.
const mostSigns = 6

// signs are the attempts, the first first: x failed, + passed, - given up or
// withdrawn or void, and how far the one under way is.
func (p driftPerson) signs() string {
	var out []string
	for _, t := range p.tries {
		out = append(out, t.sign())
	}
	if len(out) > mostSigns {
		out = tallied(out)
	}
	return strings.Join(out, " ")
}

func (t driftTry) sign() string {
	switch t.Standing {
	case drift.Passed:
		return "+"
	case drift.Failed:
		return "x"
	case drift.GivenUp, drift.TakenBack, drift.Void:
		return "-"
	}
	return fmt.Sprintf("%d/%d", t.Done, t.Attempt.Brews)
}

// tallied counts signs that are alike, in the order in which they first come.
func tallied(signs []string) []string {
	var kinds []string
	counts := map[string]int{}
	for _, s := range signs {
		if counts[s]++; counts[s] == 1 {
			kinds = append(kinds, s)
		}
	}
	for i, s := range kinds {
		if counts[s] > 1 {
			kinds[i] = fmt.Sprintf("%d %s", counts[s], s)
		}
	}
	return kinds
}

// alone is the standing of the person since the first attempt at a version; the
// newest version tried comes first.
func (p driftPerson) alone() (t driftTry, tried bool) {
	if len(p.tries) == 0 {
		return driftTry{}, false
	}
	return p.tries[len(p.tries)-1], true
}

func (p driftPerson) bound() string {
	t, tried := p.alone()
	if !tried {
		return ""
	}
	return percent(t.AtLeast)
}

// personsLayout lays the persons' page out.
func (d Drift) personsLayout() (driftLayout, []sheetLine) {
	p := d.persons
	if d.waiting || d.err != nil {
		return layoutOf(d.height, contents{}), nil
	}
	if len(p.rows) == 0 {
		text := item(d.width, draw.Plain, "- ", noBrews)
		return layoutOf(d.height, contents{lines: len(text), most: len(text)}), text
	}
	r := p.rows[d.who]
	text := r.text(d.width, p.version, p.rate())
	most := item(d.width, draw.Plain, "- ", r.strongest(p.rate()))
	return layoutOf(d.height, contents{rows: len(p.rows), tall: 1, lines: len(text), most: len(most)}), text
}

// strongest is what matters most of a person.
func (p driftPerson) strongest(rate float64) string {
	if len(p.found) > 0 {
		return told(p.found[0], p.found[0].Column.Version)
	}
	return p.summary(rate)
}

// drawPersons draws the persons' page.
func (d Drift) drawPersons(c *draw.Canvas) {
	p, right := d.persons, ""
	if !d.waiting && d.err == nil && p.brews > 0 {
		right = driftTable{brews: p.brews, version: p.version}.counted()
	}
	d.drawTitle(c, "persons", right)
	l, text := d.personsLayout()
	if l.foot < d.height {
		c.Help(l.foot, d.personsHelp())
	}
	if d.sayState(c) {
		return
	}
	if d.height == 1 && len(p.rows) > 0 {
		d.drawOnly(c, p.rows[d.who].strongest(p.rate()))
		return
	}
	columns := p.columnsFor(d.width)
	if l.head >= 0 {
		columns.draw(c, l.head, draw.Faint, "person", "brews", "share", "95 %", "slips", "tried", "at least")
		if head := "brews on time"; draw.Width(head) <= columns.bar {
			c.Text(leadWidth+columns.name+1, l.head, head, draw.Faint)
		}
	}
	from := max(0, min(d.who-l.rows/2, len(p.rows)-l.rows))
	for i := range l.rows {
		p.drawRow(c, l.list+i*(l.pillar+l.gap), from+i, from+i == d.who, columns, d.ascii)
	}
	drawText(c, 0, l.text, l.lines, text, min(d.top, max(len(text)-l.lines, 0)))
}

// drawRow draws a person.
func (p driftPersons) drawRow(c *draw.Canvas, y, i int, chosen bool, at personColumns, ascii bool) {
	r, role := p.rows[i], draw.Plain
	if chosen {
		role = draw.Strong
	}
	c.Text(0, y, lead(chosen), draw.Now)
	if r.onTime.N > 0 {
		c.Draw(leadWidth+at.name+1, y, draw.Share(at.bar, r.onTime.Rate(), r.onTime.In.Low, r.onTime.In.High, draw.OnTime, ascii))
	}
	at.draw(c, y, role, named(r.name), fmt.Sprint(r.onTime.N), share(r.onTime), between(r.onTime), r.trendWord(p.rate()), r.signs(), r.bound())
}

// draw draws the name and the texts behind the bar: figures end their columns,
// words begin them.
func (c personColumns) draw(to *draw.Canvas, y int, role draw.Role, name string, texts ...string) {
	to.Text(leadWidth, y, draw.Fit(name, c.name), role)
	x := leadWidth + c.name + 1
	if c.bar > 0 {
		x += c.bar + 1
	}
	for i, width := range c.widths() {
		if width == 0 {
			continue
		}
		text := draw.Fit(texts[i], width)
		if i == 3 || i == 4 {
			to.Text(x, y, text, role)
		} else {
			to.Right(x+width, y, text, role)
		}
		x += width + 1
	}
}

// personsHelp returns the keys that do something now.
func (d Drift) personsHelp() []key.Binding {
	k := d.scrolling(d.keys)
	k.Open.SetEnabled(!d.waiting && d.err == nil && len(d.persons.rows) > 0 && d.persons.rows[d.who].name != "")
	return k.Who()
}
