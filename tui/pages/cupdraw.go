package pages

import (
	"errors"
	"fmt"
	"strings"

	"barline/brew/cup"
	"barline/tui/draw"
	"barline/tui/tasted"
)

// cupLayout is where the parts of the page stand. It follows from the size and
// from how many fields there are.
type cupLayout struct {
	title, foot bool
	fields      int // rows of the fields
	top         int // the first of them
	column      int // the width of fields and text
	text, lines int // the first row of the text, and how many
	plane       [4]int
}

// cupColumn is the width of the fields where a plane stands beside them.
const cupColumn = 42

// layout lays the page out: the fields survive longest, then what is said of
// them, then the plane.
func (c Cup) layout() cupLayout {
	n := len(c.fields())
	l := cupLayout{column: c.width, title: c.height >= 4, foot: c.height >= 3}
	end := c.height
	if l.foot {
		end--
	}
	if l.title {
		l.top = 1
		if c.height >= 16 {
			l.top = 2
		}
	}
	l.fields = min(n, end-l.top)
	if c.height >= 6 && l.fields == end-l.top {
		l.fields-- // a row for what is said
	}
	if c.width >= cupColumn+leastPlane {
		l.column = cupColumn
		l.plane = [4]int{cupColumn + 2, l.top, c.width - cupColumn - 2, end - l.top - 1}
	}
	l.text = l.top + l.fields
	if end-l.text > 6 {
		l.text++
	}
	l.lines = max(end-l.text, 0)
	if l.column == c.width && l.lines >= 14 {
		l.lines = 5
		y := l.text + l.lines
		l.plane = [4]int{0, y, c.width, end - y - 1}
	}
	return l
}

// pictures reports whether the plane has no place beside or below the fields
// and would have one in their stead.
func (c Cup) pictures() bool {
	l := c.layout()
	legend := len(draw.Wrap(planeLegend(c.plane(c.worked()), c.ascii), c.width))
	return l.plane[3] <= 0 && l.title && draw.PlaneFits(c.width, c.height-l.top-2-legend)
}

// pictured lays the page out around the plane: of the fields the one that is
// typed in stays, so that the point moves under the person's fingers.
func (c Cup) pictured() cupLayout {
	l := c.layout()
	l.fields, l.column, l.lines = 1, c.width, 0
	l.plane = [4]int{0, l.top + 1, c.width, c.height - l.top - 3}
	return l
}

// leastPlane is the width from which on a plane stands beside the fields.
const leastPlane = 30

// Draw returns the page on a canvas of its size.
func (c Cup) Draw() *draw.Canvas {
	out := draw.NewCanvas(c.width, c.height)
	l, w, pictures := c.layout(), c.worked(), c.pictures()
	if pictures && c.picture {
		l = c.pictured()
	}
	if l.title {
		c.drawTitle(out)
	}
	if l.foot {
		help := c.keys
		help.Clear.SetEnabled(c.typed[c.at] != "")
		help.More.SetEnabled(c.top < c.last())
		help.Earlier.SetEnabled(c.top > 0)
		help.Picture.SetEnabled(pictures)
		if c.picture {
			help.Picture.SetHelp(help.Picture.Help().Key, "figures")
		}
		out.Help(c.height-1, help.Bindings())
	}
	c.drawFields(out, l, w)
	drawText(out, 0, l.text, l.lines, c.said(w, l.column), min(c.top, c.last()))
	if x, y, width, height := l.plane[0], l.plane[1], l.plane[2], l.plane[3]; width > 0 && height > 0 {
		p, role := c.plane(w), draw.Faint
		legend := draw.Wrap(planeLegend(p, c.ascii), width)
		height -= len(legend) - 1
		out.Draw(x, y, p.Draw(width, height, c.ascii))
		if l.lines == 0 && w.err != nil { // that is said nowhere else
			legend, role = draw.Wrap("! "+w.err.Error(), width), draw.Caution
		}
		for i, line := range legend {
			out.Text(x, y+height+i, line, role)
		}
	}
	return out
}

// last is how far what is said scrolls.
func (c Cup) last() int {
	l := c.layout()
	return max(len(c.said(c.worked(), l.column))-l.lines, 0)
}

func (c Cup) drawTitle(out *draw.Canvas) {
	name := "the cup"
	if c.recipe != "" {
		name = c.recipe
	}
	x := out.Text(0, 0, draw.Fit(name, c.width), draw.Strong)
	out.Text(x, 0, draw.Fit(": by "+string(c.balance), c.width-x), draw.Plain)
}

// drawFields draws as many fields as there is room for around the one that is
// typed in.
func (c Cup) drawFields(out *draw.Canvas, l cupLayout, w cupWorked) {
	shown, at := c.fields(), 0
	for i, f := range shown {
		if f == c.at {
			at = i
		}
	}
	from := max(0, min(at-l.fields/2, len(shown)-l.fields))
	for i := 0; i < l.fields; i++ {
		c.drawField(out, l.top+i, l.column, shown[from+i], w)
	}
}

// labelWidth is the width of the fields' names.
const labelWidth = 13

// drawField draws one field: its sign, name and figure. What was worked out has
// an = before it, what is in the way of that a !.
func (c Cup) drawField(out *draw.Canvas, y, width, field int, w cupWorked) {
	f, role := cupFields[field], draw.Plain
	if field == c.at {
		role = draw.Strong
	}
	line := draw.NewCanvas(width, 1)
	line.Text(0, 0, lead(field == c.at), draw.Now)
	line.Text(leadWidth, 0, f.label(), role)
	x := leadWidth + labelWidth
	if width < 2*labelWidth {
		x = leadWidth + draw.Width(f.label()) + 1
	}
	q, known := w.figures[f.of]
	switch {
	case field == c.at, c.given(field):
		sign := "  "
		if c.accused(w.err) == field {
			sign = "! "
		}
		x = line.Text(x, 0, sign, draw.Caution)
		x = line.Text(x, 0, c.typed[field], draw.Strong)
		if field == c.at {
			x = line.Text(x, 0, "_", draw.Inverse)
		}
		x = line.Text(x, 0, " "+f.unit(), role)
		if field == c.at && !c.given(field) && known {
			line.Text(x, 0, widest(width-x, "  = ", q, f.unit()), draw.Now)
		} else if off := fmt.Sprintf(" ± %g", q.U); c.given(field) && q.U > 0 && !f.thin && x+draw.Width(off) <= width {
			line.Text(x, 0, off, draw.Faint)
		}
	case known && !f.thin:
		line.Text(x, 0, widest(width-x, "= ", q, f.unit()), draw.Now)
	default:
		line.Text(x, 0, "- "+f.unit(), draw.Faint)
	}
	out.Draw(0, y, line)
}

// widest returns a figure with all that there is room for behind its lead: its
// ± and unit, its unit, itself. One that was cut would be another figure.
func widest(width int, lead string, q cup.Quantity, unit string) string {
	for _, text := range []string{q.Words(unit), cup.Exactly(q.Value).Words(unit), fmt.Sprintf("%.2f", q.Value)} {
		if draw.Width(lead+text) <= width {
			return lead + text
		}
	}
	return ""
}

// accused returns the field that an error is found in, -1 for none.
func (c Cup) accused(err error) int {
	var s *cup.Slip
	if !errors.As(err, &s) {
		return -1
	}
	for i, f := range cupFields {
		if f.of == s.What && s.What != "" {
			return i
		}
	}
	return -1
}

// said is what the page says below the fields, the most important first.
func (c Cup) said(w cupWorked, width int) []sheetLine {
	var out []sheetLine
	add := func(role draw.Role, lead, text string) { out = append(out, item(width, role, lead, text)...) }
	var s *cup.Slip
	if errors.As(w.err, &s) {
		add(draw.Caution, "! ", s.Message)
		if s.Hint != "" {
			add(draw.Plain, "  ", s.Hint)
		}
		return out
	}
	if w.thins {
		add(draw.Plain, "", fmt.Sprintf("add %.1f g of water: %.0f g at %.2f %%", w.thinned.Water, w.thinned.Beverage, w.thinned.Strength))
	}
	for _, text := range c.against(w) {
		add(draw.Plain, "", text)
	}
	if share, ok := w.figures.InCup(); ok && c.balance != cup.Percolation {
		add(draw.Plain, "", fmt.Sprintf("%.1f %% of the dose is in the cup, the rest of what was dissolved in the grounds", share))
	}
	if w.usual {
		add(draw.Faint, "", cup.Assumed(c.balance))
	}
	if c.given(lastDrops) && c.given(strengthRead) {
		add(draw.Faint, "", cup.OneRefractometer)
	}
	if c.bypass > 0 {
		add(draw.Faint, "", fmt.Sprintf("with the recipe's bypass of %.4g g", c.bypass))
	}
	if c.lost != nil {
		add(draw.Caution, "! ", c.lost.Error())
	}
	if len(w.figures) == 0 {
		add(draw.Faint, "", "type what is known; the rest is worked out")
	}
	return append(out, item(width, draw.Faint, "", c.balanceWords())...)
}

// against says how the cup stands to its aim, and which way to move.
func (c Cup) against(w cupWorked) []string {
	strength, extraction := w.figures[cup.Strength], w.figures[cup.Extraction]
	if aimWords(c.aim) == "" || strength.Value == 0 {
		return nil
	}
	if moves := cup.Moves(strength, extraction, c.aim); len(moves) == 0 {
		return []string{tasted.Against(strength, extraction, c.aim)}
	}
	return []string{tasted.Against(strength, extraction, c.aim), aimWords(c.aim)}
}

// balanceWords says what the balance takes for granted.
func (c Cup) balanceWords() string {
	switch c.balance {
	case cup.Immersion:
		return "immersion: the grounds hold liquor as strong as the cup"
	case cup.Drained:
		return "drained: the grounds hold liquor as strong as the last drops"
	}
	return "percolation: the bed is washed out at the end"
}

// plane is the picture of the cup among others.
func (c Cup) plane(w cupWorked) draw.Plane {
	p := draw.Plane{
		Low:  draw.PlanePoint{X: cup.Classic.Extraction.Low, Y: cup.Classic.Strength.Low},
		High: draw.PlanePoint{X: cup.Classic.Extraction.High, Y: cup.Classic.Strength.High},
		Box:  "classic", XName: "extraction %", YName: "strength %",
	}
	for _, past := range c.past {
		p.Past = append(p.Past, draw.PlanePoint{X: past.extraction, Y: past.strength})
	}
	if c.aim.Strength > 0 || c.aim.Extraction > 0 {
		p.Aim = &draw.PlanePoint{X: float64(c.aim.Extraction), Y: float64(c.aim.Strength)}
	}
	s, e := w.figures[cup.Strength], w.figures[cup.Extraction]
	if s.Value > 0 && e.Value > 0 && w.err == nil {
		p.Now = &draw.PlanePoint{X: e.Value, Y: s.Value, UX: e.U, UY: s.U}
	}
	return p
}

// planeLegend says what the shapes mean, and that the box is no verdict.
func planeLegend(p draw.Plane, ascii bool) string {
	var parts []string
	for _, s := range p.Legend(ascii) {
		parts = append(parts, s.Shapes+" "+s.Means)
	}
	return strings.Join(append(parts, "outside the box is not wrong"), ", ")
}
