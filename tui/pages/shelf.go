package pages

import (
	"fmt"

	"barline/brew"
	"barline/brew/cup"
	"barline/tui/draw"
	"barline/tui/keys"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
)

// Recipe is a recipe as the pages show it.
type Recipe struct {
	Stem   string // the name it goes by on the command line
	Name   string
	Line   string // dose, water and time, or why it cannot be brewed
	Own    bool   // from the user's folder
	Recipe brew.Recipe
	Text   []byte       // of its file
	Plan   *brew.Plan   // nil where the file has errors
	Faults string       // the file's errors and warnings, as check prints them
	Boils  brew.Celsius // where water boils at the bar; 0 where nobody said
	Cools  cup.Kettle   // that was calibrated; zero where none was
}

// ListKeys are the keys of a page with a list.
type ListKeys struct{ Up, Down, Open, Record, Drift, Leave key.Binding }

// DefaultListKeys returns the keys of a list.
func DefaultListKeys() ListKeys {
	return ListKeys{
		Up:     key.NewBinding(key.WithKeys("up", "k", "pgup"), key.WithHelp("up", "move up")),
		Down:   key.NewBinding(key.WithKeys("down", "j", "pgdown"), key.WithHelp("down", "move down")),
		Open:   key.NewBinding(key.WithKeys("enter", " "), key.WithHelp("enter", "open")),
		Record: key.NewBinding(key.WithKeys("r"), key.WithHelp("r", "what was brewed")),
		Drift:  key.NewBinding(key.WithKeys("d"), key.WithHelp("d", "drift")),
		Leave:  key.NewBinding(key.WithKeys("q", "esc", "ctrl+c"), key.WithHelp("q", "leave")),
	}
}

// Bindings returns every key, in the order of the help.
func (k ListKeys) Bindings() []key.Binding {
	return []key.Binding{k.Open, k.Record, k.Leave, k.Drift, k.Down, k.Up}
}

// Shelf is the page of all recipes.
type Shelf struct {
	recipes       []Recipe
	keys          ListKeys
	at            int
	width, height int
}

// NewShelf returns the page with the first recipe chosen.
func NewShelf(recipes []Recipe, k ListKeys) Shelf { return Shelf{recipes: recipes, keys: k} }

// ChosenMsg says which recipe the person wants to see.
type ChosenMsg struct{ Recipe Recipe }

// RecordMsg says that the person wants to see what was brewed.
type RecordMsg struct{}

// LeftMsg says that the person is done with the page.
type LeftMsg struct{}

func left() tea.Msg { return LeftMsg{} }

// Resize tells the page how many cells it may draw on.
func (s Shelf) Resize(width, height int) Shelf {
	s.width, s.height = max(width, 0), max(height, 0)
	return s
}

// Update answers a message.
func (s Shelf) Update(msg tea.Msg) (Shelf, tea.Cmd) {
	k, ok := msg.(keys.Press)
	switch {
	case !ok:
	case k.Is(s.keys.Up):
		s.at = max(s.at-1, 0)
	case k.Is(s.keys.Down):
		s.at = max(min(s.at+1, len(s.recipes)-1), 0)
	case k.Is(s.keys.Leave):
		return s, left
	case k.Is(s.keys.Record):
		return s, func() tea.Msg { return RecordMsg{} }
	case k.Is(s.keys.Drift) && len(s.recipes) > 0:
		recipe := s.recipes[s.at].Name
		return s, func() tea.Msg { return DriftMsg{recipe} }
	case k.Is(s.keys.Open) && len(s.recipes) > 0:
		chosen := s.recipes[s.at]
		return s, func() tea.Msg { return ChosenMsg{chosen} }
	}
	return s, nil
}

// Draw returns the page on a canvas of its size: a list of names with a line
// on each beside it. Where any of the lines is too wide for that, the line on
// the chosen one stands whole below the list.
func (s Shelf) Draw() *draw.Canvas {
	c := draw.NewCanvas(s.width, s.height)
	y, foot := 0, s.height
	if s.height >= 8 {
		c.Text(0, 0, draw.Fit("barline: what shall it be?", s.width), draw.Strong)
		y = 2
	}
	if s.height >= 4 {
		foot--
		c.Help(foot, s.keys.Bindings())
	}
	if len(s.recipes) == 0 {
		c.Text(0, y, draw.Fit("no recipes", s.width), draw.Plain)
		return c
	}
	column := s.column()
	if below := s.below(column); below > 0 && s.height >= 6 {
		foot -= below
		for i, text := range draw.Wrap(s.recipes[s.at].line(), s.width-2) {
			c.Text(2, foot+i, text, s.recipes[s.at].role())
		}
	}
	height := foot - y
	if y > 0 && len(s.recipes) > height { // some are out of sight
		c.Right(s.width, 0, fmt.Sprintf("%d of %d", s.at+1, len(s.recipes)), draw.Faint)
	}
	from := max(0, min(s.at-height/2, len(s.recipes)-height))
	for row := 0; row < height && from+row < len(s.recipes); row++ {
		s.drawRecipe(c, y+row, column, from+row)
	}
	return c
}

// leastLine is the width from which on a line beside a name says something.
const leastLine = 24

// column returns the column in which the lines on the recipes begin, 0 where
// there is no room for them beside the names.
func (s Shelf) column() int {
	name := 0
	for _, r := range s.recipes {
		name = max(name, draw.Width(r.Name))
	}
	if column := 2 + name + 2; column+leastLine <= s.width {
		return column
	}
	return 0
}

// below returns how many rows below the list the longest line takes, 0 where
// all of them stand beside the names.
func (s Shelf) below(column int) int {
	rows, whole := 1, column > 0
	for _, r := range s.recipes {
		rows = max(rows, len(draw.Wrap(r.line(), s.width-2)))
		whole = whole && draw.Width(r.line()) <= s.width-column
	}
	if whole {
		return 0
	}
	return min(rows, max(s.height/4, 1))
}

// line is what stands beside the recipe's name.
func (r Recipe) line() string {
	if r.Own {
		return r.Line + ", your own"
	}
	return r.Line
}

// role is how the line is drawn.
func (r Recipe) role() draw.Role {
	if r.Plan == nil {
		return draw.Caution
	}
	return draw.Faint
}

func (s Shelf) drawRecipe(c *draw.Canvas, y, column, i int) {
	r, lead, role := s.recipes[i], "  ", draw.Plain
	switch {
	case i == s.at:
		lead, role = "> ", draw.Strong
	case column == 0 && r.Plan == nil:
		lead = "! "
	}
	x := c.Text(0, y, lead, draw.Now)
	c.Text(x, y, draw.Fit(r.Name, s.width-x), role)
	if column > 0 {
		c.Text(column, y, draw.Fit(r.line(), s.width-column), r.role())
	}
}

// ratio is the ratio in words: '1:15', or '1:6 brewed, 1:12 in the server'.
func ratio(r brew.Recipe) string {
	brewed, total := r.Ratio()
	if r.BypassWater() == 0 {
		return fmt.Sprintf("1:%.3g", brewed)
	}
	return fmt.Sprintf("1:%.3g brewed, 1:%.3g in the server", brewed, total)
}
