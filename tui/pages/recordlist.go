package pages

import (
	"fmt"

	"barline/tui/draw"

	"github.com/charmbracelet/bubbles/key"
)

// columns are how many cells each column of the list takes.
type columns struct{ when, recipe, person, kind, end int }

// and returns the columns that these brews fit into as well.
func (c columns) and(brews []Brewed) columns {
	for _, b := range brews {
		c.when = max(c.when, draw.Width(b.When))
		c.recipe = max(c.recipe, draw.Width(b.Recipe))
		c.person = max(c.person, draw.Width(b.Person))
		c.kind = max(c.kind, draw.Width(b.Kind))
		c.end = max(c.end, draw.Width(b.End))
	}
	return c
}

// The lead before a row, the gap between two columns, and the least of a
// column that is worth having.
const (
	leadWidth   = 2
	gapWidth    = 2
	leastRecipe = 18
	leastPerson = 8
	leastEnd    = len("finished at 12:20")
)

func (c columns) total() int {
	width := leadWidth
	for _, w := range []int{c.when, c.recipe, c.person, c.kind, c.end} {
		if w > 0 {
			width += w + gapWidth
		}
	}
	return width - gapWidth
}

// fit makes the columns narrower until they fit: the words at the end first,
// then the recipe and the person. Where that is not enough, the day and the
// recipe alone are left.
func (c columns) fit(width int) columns {
	shrink := func(column *int, least int) {
		over := max(c.total()-width, 0)
		*column = max(*column-over, min(*column, least))
	}
	shrink(&c.end, leastEnd)
	shrink(&c.recipe, leastRecipe)
	shrink(&c.person, leastPerson)
	if c.total() <= width {
		return c
	}
	return columns{when: c.when, recipe: max(width-leadWidth-c.when-gapWidth, 0)}
}

// leastTitled and leastHelped are the heights from which on there is room for
// the title and for the keys.
const (
	leastTitled = 6
	leastHelped = 3
)

// rows is how many brews are on the screen.
func (r Record) rows() int {
	rows := r.height
	if r.height >= leastTitled {
		rows -= 2
	}
	if r.height >= leastHelped {
		rows--
	}
	return max(rows-r.below(), 0)
}

// below is how many rows below the list say all of the chosen brew: none where
// the list does so itself.
func (r Record) below() int {
	if r.height < leastTitled || r.widest.total() <= r.width {
		return 0
	}
	return min(2, r.height/6+1)
}

// Draw returns the page on a canvas of its size.
func (r Record) Draw() *draw.Canvas {
	c := draw.NewCanvas(r.width, r.height)
	y, foot := 0, r.height
	if r.height >= leastTitled {
		r.drawTitle(c)
		y = 2
	}
	if r.height >= leastHelped {
		foot--
		c.Help(foot, r.help())
	}
	if text, role := r.state(); text != "" {
		for i, line := range draw.WrapWhole(text, r.width) {
			if y+i < foot {
				c.Text(0, y+i, line, role)
			}
		}
		return c
	}
	rows := r.rows()
	from := max(0, min(r.at-rows/2, len(r.brews)-rows))
	for row := 0; row < rows && from+row < len(r.brews); row++ {
		r.drawBrew(c, y+row, from+row)
	}
	r.drawBelow(c, foot)
	return c
}

// help returns the keys in the order of what matters where there is no room
// for all of them, and says what they do to the list as it is.
func (r Record) help() []key.Binding {
	k := r.keys
	k.Person.SetHelp(k.Person.Help().Key, toggle(r.filter.Person, "this person", "any person"))
	k.Recipe.SetHelp(k.Recipe.Help().Key, toggle(r.filter.Recipe, "this recipe", "any recipe"))
	k.Open.SetEnabled(len(r.brews) > 0)
	k.Person.SetEnabled(len(r.brews) > 0 || r.filter.Person != "")
	k.Recipe.SetEnabled(len(r.brews) > 0 || r.filter.Recipe != "")
	k.All.SetEnabled(r.filter != Filter{})
	return []key.Binding{k.Open, k.Leave, k.Person, k.Recipe, k.Kind, k.Days, k.All, k.Down, k.Up}
}

// toggle says what a key does that sets a filter, or takes it off.
func toggle(now, set, off string) string {
	if now != "" {
		return off
	}
	return set
}

// drawTitle says what the list is narrowed to, and where in it one is.
func (r Record) drawTitle(c *draw.Canvas) {
	end := c.Text(0, 0, draw.Fit("what was brewed"+r.filter.words(), r.width), draw.Strong)
	if len(r.brews) == 0 {
		return
	}
	place := fmt.Sprintf("%d of %d", r.at+1, len(r.brews))
	if r.more {
		place += " and more"
	}
	if end+2+draw.Width(place) <= r.width {
		c.Right(r.width, 0, place, draw.Faint)
	}
}

// drawBelow says all of the chosen brew, or what went wrong with opening it,
// in the rows above the keys.
func (r Record) drawBelow(c *draw.Canvas, foot int) {
	var lines []string
	role, below := draw.Faint, r.below()
	switch {
	case r.err != nil:
		lines, role = draw.WrapWhole("! "+r.err.Error(), r.width), draw.Caution
	case below > 0:
		lines = draw.Wrap(r.brews[r.at].rest(), r.width-leadWidth)
		lines = lines[:min(len(lines), below)]
	}
	x := leadWidth
	if role == draw.Caution {
		x, below = 0, len(lines)
	}
	for i, line := range lines {
		for blank := range c.Width {
			c.Set(blank, foot-below+i, 0, draw.Plain)
		}
		c.Text(x, foot-below+i, line, role)
	}
}

// rest is what a narrow list leaves out of a brew.
func (b Brewed) rest() string {
	text := b.Recipe
	if b.Person != "" {
		text += " by " + b.Person
	}
	return text + ", " + b.Kind + ", " + b.End
}

// state is what stands where the list would, where there is none.
func (r Record) state() (string, draw.Role) {
	switch {
	case len(r.brews) > 0:
		return "", draw.Plain
	case r.err != nil:
		return "! " + r.err.Error(), draw.Caution
	case r.waiting:
		return "looking", draw.Faint
	case r.filter != Filter{}:
		return "nothing like that; " + r.keys.All.Help().Key + " shows all", draw.Plain
	}
	return "nothing yet", draw.Plain
}

// words says what the list is narrowed to.
func (f Filter) words() string {
	text := ""
	if f.Recipe != "" {
		text += ", " + f.Recipe
	}
	if f.Person != "" {
		text += ", by " + f.Person
	}
	if f.Kind != "" {
		text += ", " + f.Kind
	}
	if f.Days == 1 {
		text += ", today"
	} else if f.Days > 1 {
		text += fmt.Sprintf(", the last %d days", f.Days)
	}
	return text
}

// drawBrew draws a brew in columns.
func (r Record) drawBrew(c *draw.Canvas, y, i int) {
	b, role, lead := r.brews[i], draw.Plain, "  "
	if i == r.at {
		role, lead = draw.Strong, "> "
	}
	x := c.Text(0, y, lead, draw.Now)
	at := r.widest.fit(r.width)
	for _, column := range []struct {
		text  string
		width int
	}{{b.When, at.when}, {b.Recipe, at.recipe}, {b.Person, at.person}, {b.Kind, at.kind}, {b.End, at.end}} {
		if column.width <= 0 {
			continue
		}
		text := draw.Fit(column.text, min(column.width, r.width-x))
		c.Text(x, y, text, role)
		x += column.width + gapWidth
	}
}
