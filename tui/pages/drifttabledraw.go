package pages

import (
	"fmt"

	"barline/brew/drift"
	"barline/tui/draw"

	"github.com/charmbracelet/bubbles/key"
)

// drawTable draws a recipe's page.
func (d Drift) drawTable(c *draw.Canvas) {
	t := d.table
	if d.waiting || d.err != nil {
		t = driftTable{}
	}
	d.drawTitle(c, d.measured(), t.counted())
	l, text := d.tableLayout()
	if l.foot < d.height {
		c.Help(l.foot, d.tableHelp())
	}
	if d.sayState(c) {
		return
	}
	if d.height == 1 {
		d.drawOnly(c, t.finding())
		return
	}
	columns := t.columnsFor(d.width)
	if l.head >= 0 {
		beat := "beat"
		if l.rows < len(t.rows) {
			beat = fmt.Sprintf("%d of %d", d.at+1, len(t.rows))
		}
		columns.heads(c, l.head, beat)
	}
	from := max(0, min(d.at-l.rows/2, len(t.rows)-l.rows))
	for i := 0; i < l.rows; i++ {
		y := l.list + i*(l.pillar+l.gap)
		t.drawRow(c, y, l.pillar, from+i, from+i == d.at, columns, d.ascii)
	}
	if len(t.rows) > 0 {
		t.rows[d.at].write(c, l.detail, l.said)
	}
	drawText(c, 0, l.text, l.lines, text, min(d.top, max(len(text)-l.lines, 0)))
}

// drawOnly draws what matters most behind the name, on a screen of one row.
func (d Drift) drawOnly(c *draw.Canvas, text string) {
	name := draw.Width(d.filter.Recipe)
	if name+4 >= d.width {
		return
	}
	for x := name; x < d.width; x++ {
		c.Set(x, 0, 0, draw.Plain)
	}
	c.Text(name, 0, draw.Fit(": "+text, d.width-name), draw.Plain)
}

// tableLayout lays out a recipe's page.
func (d Drift) tableLayout() (driftLayout, []sheetLine) {
	if d.waiting || d.err != nil {
		return layoutOf(d.height, contents{}), nil
	}
	t := d.table
	text := t.text(d.width)
	has := contents{rows: len(t.rows), tall: 5, lines: len(text), most: len(item(d.width, draw.Plain, "- ", t.finding()))}
	for _, r := range t.rows {
		has.detail = max(has.detail, len(item(d.width, draw.Plain, "  ", r.detail())))
	}
	l := layoutOf(d.height, has)
	if len(t.page.Findings) > 0 && l.lines < has.most+4 { // the head would take the room of the strongest
		text = text[1:]
		has.lines--
		l = layoutOf(d.height, has)
	}
	return l, text
}

// counted says how many brews of which version the page is about.
func (t driftTable) counted() string {
	switch {
	case t.brews == 0:
		return ""
	case t.every:
		return fmt.Sprintf("%s of all versions", brewed(t.brews))
	}
	return fmt.Sprintf("%s of version %s", brewed(t.brews), t.version)
}

// brewed counts brews.
func brewed(n int) string {
	if n == 1 {
		return "1 brew"
	}
	return fmt.Sprintf("%d brews", n)
}

// tableHelp returns the keys that do something now.
func (d Drift) tableHelp() []key.Binding {
	k := d.scrolling(d.measuring(d.keys))
	k.Open.SetEnabled(!d.waiting && d.err == nil && len(d.table.rows) > 0)
	return k.Table()
}

// scrolling disables the keys that would do nothing.
func (d Drift) scrolling(k DriftKeys) DriftKeys {
	k.Person.SetEnabled(len(d.table.persons) > 0)
	k.More.SetEnabled(d.top < d.last())
	k.Earlier.SetEnabled(d.top > 0)
	k.All.SetEnabled(d.every || d.filter != Filter{Recipe: d.filter.Recipe, Kind: string(drift.Service)})
	if d.every {
		k.Versions.SetHelp(k.Versions.Help().Key, "newest")
	}
	return k
}

// measuring says which measure the key brings.
func (d Drift) measuring(k DriftKeys) DriftKeys {
	brings := drift.BySlip
	if d.measure == brings {
		brings = drift.ByDrift
	}
	k.Measure.SetHelp(k.Measure.Help().Key, string(brings))
	return k
}

// write writes all that is known of a row into some rows, or the words on it
// where there is one alone.
func (r driftRow) write(c *draw.Canvas, y, rows int) {
	lines := item(c.Width, draw.Plain, "  ", r.detail())
	if rows == 1 && len(lines) > 1 {
		lines = []sheetLine{{draw.Fit("  "+r.brief(c.Width-2), c.Width), draw.Plain}}
	}
	drawText(c, 0, y, rows, lines, 0)
}

// heads names the columns.
func (at tableColumns) heads(c *draw.Canvas, y int, beat string) {
	c.Text(leadWidth, y, draw.Fit(beat, at.name), draw.Faint)
	x := leadWidth + at.name + 1
	for _, head := range []string{"early [ on time ] late", "[on time]"} {
		if w := draw.Width(head); w <= at.strip {
			c.Text(x+(at.strip-w)/2, y, head, draw.Faint)
			break
		}
	}
	timely := "on time"
	if at.timely < draw.Width(timely) {
		timely = "share"
	}
	at.figures(c, y, draw.Faint, "median", timely, "95 %", "trend", "limits")
}

// drawRow draws a beat, a length or a weight.
func (t driftTable) drawRow(c *draw.Canvas, y, height, i int, chosen bool, at tableColumns, ascii bool) {
	r, role := t.rows[i], draw.Plain
	if chosen {
		role = draw.Strong
	}
	c.Draw(leadWidth+at.name+1, y, draw.Strip(at.strip, height, r.spread, ascii))
	y += height - 1
	c.Text(0, y, lead(chosen), draw.Now)
	c.Text(leadWidth, y, draw.Fit(r.name(), at.name), role)
	at.figures(c, y, role, r.figure(r.summary.Median), share(r.summary.OnTime), within(r.summary.OnTime), r.said.trend, r.said.limits)
}

// figures draws the texts that stand behind the strip: figures end their
// columns, words begin them.
func (at tableColumns) figures(c *draw.Canvas, y int, role draw.Role, texts ...string) {
	x := leadWidth + at.name + 1
	if at.strip > 0 {
		x += at.strip + 1
	}
	for i, width := range []int{at.middle, at.timely, at.within, at.trend, at.control} {
		if width == 0 {
			continue
		}
		text := draw.Fit(texts[i], width)
		if i < 3 {
			c.Right(x+width, y, text, role)
		} else {
			c.Text(x, y, text, role)
		}
		x += width + 1
	}
}
