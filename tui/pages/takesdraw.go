package pages

import (
	"fmt"

	"barline/brew/routine"
	"barline/tui/draw"

	"github.com/charmbracelet/bubbles/key"
)

// Draw returns the page on a canvas of its size.
func (t Takes) Draw() *draw.Canvas {
	c := draw.NewCanvas(t.width, t.height)
	t.title(c)
	foot := t.height
	if t.height >= 6 {
		foot--
		c.Help(foot, t.help())
	}
	switch {
	case t.err != nil:
		drawText(c, 0, 1, foot-1, wrapped("! "+t.err.Error(), t.width, draw.Caution), 0)
	case t.waiting:
		c.Text(0, 1, draw.Fit("looking", t.width), draw.Faint)
	case len(t.table.Takes) == 0:
		drawText(c, 0, 1, foot-1, wrapped("no take yet that was finished at speed 1", t.width, draw.Faint), 0)
	case t.pairs:
		t.drawPairs(c, foot)
	default:
		t.drawTable(c)
	}
	return c
}

func wrapped(text string, width int, role draw.Role) (out []sheetLine) {
	for _, line := range draw.WrapWhole(text, width) {
		out = append(out, sheetLine{line, role})
	}
	return out
}

// title draws the routine's name, which survives longest, and which takes.
func (t Takes) title(c *draw.Canvas) {
	x := c.Text(0, 0, draw.Fit(t.name+": takes", t.width), draw.Strong)
	for _, right := range t.poolTexts() {
		if x+2+draw.Width(right) <= t.width {
			c.Right(t.width, 0, right, draw.Faint)
			break
		}
	}
}

// help returns the keys that do something now.
func (t Takes) help() []key.Binding {
	k := t.keys
	some := !t.waiting && t.err == nil && len(t.table.Takes) > 0
	k.Open.SetEnabled(some && len(t.table.Takes) > 1)
	k.Pool.SetEnabled(some && len(t.pools) > 1)
	k.Up.SetEnabled(some && t.at > 0)
	k.Down.SetEnabled(some && t.at+1 < len(t.table.Takes))
	k.More.SetEnabled(t.pairs && t.top < t.last())
	k.Earlier.SetEnabled(t.pairs && t.top > 0)
	switch {
	case t.pairs:
		k.Open.SetHelp(k.Open.Help().Key, "all takes")
	case t.at+1 == len(t.table.Takes):
		k.Open.SetHelp(k.Open.Help().Key, "beside the one before")
	}
	return k.All()
}

// drawTable draws sections, words, the line and the list.
func (t Takes) drawTable(c *draw.Canvas) {
	said := t.said(t.width)
	l := takesLayoutOf(t.width, t.height, len(t.table.Sections), len(said), len(t.table.Takes))
	if l.said.w != t.width {
		said = t.said(l.said.w)
	}
	t.drawSections(c, l.sections)
	drawText(c, l.said.x, l.said.y, l.said.h, said, 0)
	if l.line.h > 0 {
		chosen, _ := t.chosen()
		part := draw.NewCanvas(l.line.w, l.line.h)
		t.drawLine(part, chosen)
		c.Draw(l.line.x, l.line.y, part)
	}
	t.drawList(c, l.list)
}

// column is a column of figures: its head, and what stands in it.
type column struct {
	head  string
	texts []string
	width int
}

// columnOf returns a column as wide as what is in it.
func columnOf[T any](head string, rows []T, text func(T) string) column {
	c := column{head: head, width: draw.Width(head)}
	for _, r := range rows {
		c.texts = append(c.texts, text(r))
		c.width = max(c.width, draw.Width(c.texts[len(c.texts)-1]))
	}
	return c
}

// fitting returns the columns, the first ones first, that fit into a width
// beside a name, and how wide that may be.
func fitting(width, name int, all []column) (shown []column, rest int) {
	rest = width
	for _, c := range all {
		if rest-c.width-2 < name {
			break
		}
		shown, rest = append(shown, c), rest-c.width-2
	}
	return shown, rest
}

// drawSections draws a row for each section and one for the whole.
func (t Takes) drawSections(c *draw.Canvas, at rect) {
	rows := append(t.table.Sections[:len(t.table.Sections):len(t.table.Sections)], t.table.Whole)
	median := fmt.Sprintf("median %d", min(routine.Latest, len(t.table.Takes)))
	all := []column{
		columnOf("written", rows, func(r routine.Row) string { return tenths(r.Written) }),
		columnOf("this", rows, func(r routine.Row) string { return tenths(r.Took[t.at]) }),
		columnOf(median, rows, func(r routine.Row) string { return figureText(r.Median, tenths) }),
		columnOf("best", rows, func(r routine.Row) string { return tenths(r.Best) }),
		columnOf("spread", rows, func(r routine.Row) string { return figureText(r.Spread, spreadText) }),
		columnOf("trend", rows, trendText),
		columnOf("slip", rows, func(r routine.Row) string { return figureText(r.Slip, drifted) }),
		columnOf("lost", rows, func(r routine.Row) string { return fmt.Sprintf("%d of %d", r.Lost, len(r.Took)) }),
	}
	shown, name := fitting(at.w, 12, all)
	drawRows(c, at, "section", min(name, 34), shown, len(rows), len(rows)-1, func(i int) string { return rows[i].Name })
}

// drawRows draws a table: its heads, and as many rows as there is room for
// with the chosen one among them.
func drawRows(c *draw.Canvas, at rect, head string, name int, columns []column, n, chosen int, named func(int) string) {
	if at.h < 1 {
		return
	}
	row := func(y int, role draw.Role, first string, text func(column) string) {
		c.Text(at.x, y, draw.Fit(first, name), role)
		x := at.x + name
		for _, col := range columns {
			x += 2 + col.width
			c.Right(x, y, text(col), role)
		}
	}
	row(at.y, draw.Faint, head, func(col column) string { return col.head })
	from := max(0, min(chosen-(at.h-1)/2, n-(at.h-1)))
	for y := 1; y < at.h && from+y-1 < n; y++ {
		i := from + y - 1
		role := draw.Plain
		if i == chosen {
			role = draw.Strong
		}
		row(at.y+y, role, named(i), func(col column) string { return col.texts[i] })
	}
}

// drawList draws a row for each take.
func (t Takes) drawList(c *draw.Canvas, at rect) {
	takes := t.table.Takes
	all := []column{
		columnOf("length", takes, func(r routine.Result) string { return tenths(r.Length()) }),
		columnOf("plan", takes, func(r routine.Result) string { off, _ := r.Drift(); return drifted(off) }),
		columnOf("penalty", takes, func(r routine.Result) string { return r.Penalty.String() }),
		columnOf("talk", takes, func(r routine.Result) string { return sumText(r.Talk) }),
		columnOf("hands", takes, func(r routine.Result) string { return sumText(r.Hands) }),
		columnOf("bed", takes, func(r routine.Result) string { return sumText(r.Bed) }),
		columnOf("by", takes, func(r routine.Result) string { return draw.Fit(r.Person, 20) }),
	}
	shown, name := fitting(at.w, 15, all)
	head := "take"
	if at.h-1 < len(takes) {
		head = fmt.Sprintf("%d of %d", t.at+1, len(takes))
	}
	drawRows(c, at, "  "+head, min(name, 24), shown, len(takes), t.at, func(i int) string {
		return lead(i == t.at) + takes[i].Start.Format("02 Jan 15:04")
	})
}

func sumText(s routine.Sum) string {
	if s.Marks == 0 {
		return "-"
	}
	return drifted(s.Slip)
}

// drawPairs draws two takes beat by beat.
func (t Takes) drawPairs(c *draw.Canvas, foot int) {
	a, b := t.table.Takes[t.at], t.table.Takes[t.beside]
	for i, r := range []routine.Result{a, b} {
		off, _ := r.Drift()
		c.Text(0, 1+i, draw.Fit(fmt.Sprintf("%c  %s  %s, %s against the plan, %s", 'A'+i, r.Start.Format("02 Jan 15:04"), tenths(r.Length()), drifted(off), r.Penalty), t.width), draw.Plain)
	}
	all := []column{
		columnOf("A", t.rows, func(p routine.Pair) string { return figureText(p.Drift[0], drifted) }),
		columnOf("B", t.rows, func(p routine.Pair) string { return figureText(p.Drift[1], drifted) }),
		columnOf("B later", t.rows, func(p routine.Pair) string { return figureText(later(p), drifted) }),
		columnOf("due", t.rows, func(p routine.Pair) string { return tenths(p.Written[0]) }),
		columnOf("section", t.rows, func(p routine.Pair) string { return draw.Fit(p.Section, 24) }),
	}
	shown, name := fitting(t.width, 14, all)
	top := min(t.top, t.last())
	for i := range shown {
		shown[i].texts = shown[i].texts[top:]
	}
	rows := t.rows[top:]
	drawRows(c, rect{0, 3, t.width, max(foot-3, 0)}, "drift of", min(name, 44), shown, min(len(rows), max(foot-4, 0)), -1, func(i int) string { return rows[i].Name })
}

func later(p routine.Pair) routine.Figure {
	d, known := p.Apart()
	return routine.Figure{Value: d, Known: known}
}
