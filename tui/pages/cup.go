package pages

import (
	"strconv"
	"strings"

	"barline/brew"
	"barline/brew/cup"
	"barline/tui/keys"

	tea "github.com/charmbracelet/bubbletea"
)

// Cups is what the cup page asks the record for. It is asked from a command.
type Cups interface {
	// Cups returns the cups that were brewed of a recipe and have a strength,
	// the latest of them, in the order in which they were brewed.
	Cups(recipe string) ([]CupRead, error)
}

// CupRead is a cup that was brewed and read.
type CupRead struct {
	Plan    *brew.Plan
	Reading brew.Reading
}

// CupMsg says whose cup the person wants to work out.
type CupMsg struct{ Recipe Recipe }

// CupsMsg is the answer to what a cup page asked for. It is for that page
// whichever is on the screen.
type CupsMsg struct {
	recipe string
	cups   []CupRead
	err    error
}

// pastCup is where a cup that was brewed lies, in per cent.
type pastCup struct{ strength, extraction float64 }

// cupField is a figure that can be typed.
type cupField struct {
	of   cup.Name
	thin bool // not a figure of the cup: the strength to thin it to
}

// label is what a field is called.
func (f cupField) label() string {
	if f.thin {
		return "thin to"
	}
	return string(f.of)
}

// unit is what stands behind its figure.
func (f cupField) unit() string {
	if f.thin {
		return "%"
	}
	return f.of.Unit()
}

// cupFields are the fields in their order.
var cupFields = []cupField{
	{of: cup.Dose}, {of: cup.Water}, {of: cup.Beverage}, {of: cup.Strength}, {of: cup.Extraction}, {of: cup.Retained}, {of: cup.Last}, {thin: true},
}

// Cup is the page that works a cup out: what is typed is known, the rest
// follows from it.
type Cup struct {
	keys    CupKeys
	ascii   bool
	recipe  string   // its name; "" for none
	aim     brew.Aim // its aim
	bypass  float64  // its bypass, g
	balance cup.Balance
	typed   [8]string // by field
	at      int       // the field that is typed in
	cups    []CupRead
	past    []pastCup // where they lie by the balance
	top     int       // the first line shown of what is said
	lost    error     // why the past is not known
	picture bool      // the plane is asked for where there is no room for it beside the fields

	width, height int
}

// NewCup returns the page, and the command that asks for the recipe's past
// cups. A recipe gives what is known of it; without a plan there is none.
func NewCup(source Cups, r Recipe, k CupKeys, ascii bool) (Cup, tea.Cmd) {
	c := Cup{keys: k, ascii: ascii, balance: cup.Percolation}
	if r.Plan == nil {
		return c, nil
	}
	c.recipe, c.aim, c.bypass = r.Name, r.Recipe.Aim, r.Plan.Bypass.Grams()
	if b, ok := cup.BalanceOf(r.Plan.Method); ok {
		c.balance = b
	}
	c.typed[0], c.typed[1] = r.Plan.Dose.Decimal(), r.Plan.Water.Decimal()
	c.at = 2
	if source == nil {
		return c, nil
	}
	name := r.Name
	return c, func() tea.Msg {
		cups, err := source.Cups(name)
		return CupsMsg{name, cups, err}
	}
}

// placed works out where the past cups lie: those that have an extraction by
// the balance.
func (c Cup) placed() Cup {
	c.past = nil
	for _, read := range c.cups {
		if e, _, err := cup.ExtractionBy(c.balance, read.Plan, read.Reading, cup.UsualInstruments); err == nil {
			c.past = append(c.past, pastCup{float64(*read.Reading.Strength), e.Value})
		}
	}
	return c
}

// Resize tells the page how many cells it may draw on.
func (c Cup) Resize(width, height int) Cup {
	c.width, c.height = max(width, 0), max(height, 0)
	return c
}

// Update answers a message.
func (c Cup) Update(msg tea.Msg) (Cup, tea.Cmd) {
	switch msg := msg.(type) {
	case CupsMsg:
		if msg.recipe == c.recipe {
			c.cups, c.lost = msg.cups, msg.err
			return c.placed(), nil
		}
	case keys.Press:
		switch {
		case msg.Is(c.keys.More):
			c.top = min(c.top+1, c.last())
			return c, nil
		case msg.Is(c.keys.Earlier):
			c.top = max(min(c.top, c.last())-1, 0)
			return c, nil
		}
		c.top = 0
		return c.press(msg)
	}
	return c, nil
}

func (c Cup) press(k keys.Press) (Cup, tea.Cmd) {
	shown := c.fields()
	i := 0
	for j, f := range shown {
		if f == c.at {
			i = j
		}
	}
	switch {
	case k.Is(c.keys.Leave):
		return c, func() tea.Msg { return BackMsg{} }
	case k.Is(c.keys.Next):
		c.at = shown[(i+1)%len(shown)]
	case k.Is(c.keys.Before):
		c.at = shown[(i+len(shown)-1)%len(shown)]
	case k.Is(c.keys.Balance):
		c.balance = following(c.balance, cup.Balances())
		if c.balance != cup.Drained {
			c.typed[lastDrops] = ""
		}
		if !c.shows(c.at) {
			c.at = shown[0]
		}
		return c.placed(), nil
	case k.Is(c.keys.Picture) && c.pictures():
		c.picture = !c.picture
	case k.Is(c.keys.Clear):
		c.typed[c.at] = ""
	case k.Type == tea.KeyBackspace:
		if text := c.typed[c.at]; text != "" {
			c.typed[c.at] = text[:len(text)-1]
		}
	default:
		c.typed[c.at] = typedInto(c.typed[c.at], k)
	}
	return c, nil
}

// longestFigure is how many characters a figure may have.
const longestFigure = 8

// typedInto adds the figures of a key press, one or several, to a field.
func typedInto(text string, k keys.Press) string {
	if k.Type != tea.KeyRunes {
		return text
	}
	for _, r := range k.Runes {
		if r == ',' {
			r = '.' // where a comma is nearer
		}
		figure := '0' <= r && r <= '9' || r == '.' && !strings.Contains(text, ".")
		if figure && len(text) < longestFigure {
			text += string(r)
		}
	}
	return text
}

// The fields that are asked for by themselves.
const (
	strengthRead = 3
	lastDrops    = 6
	thinTo       = 7
)

// fields returns the fields that are shown: the last drops are of the drained
// balance alone.
func (c Cup) fields() []int {
	var out []int
	for i := range cupFields {
		if c.shows(i) {
			out = append(out, i)
		}
	}
	return out
}

func (c Cup) shows(field int) bool { return field != lastDrops || c.balance == cup.Drained }

// figure returns what is typed in a field, 0 for nothing.
func (c Cup) figure(field int) float64 {
	x, _ := strconv.ParseFloat(c.typed[field], 64)
	return x
}

// cupWorked is what follows from what is typed.
type cupWorked struct {
	figures cup.Figures // given and found
	usual   bool        // what the grounds keep is taken as usual
	err     error       // a *cup.Slip; nil where the figures hold together
	thinned cup.Dilution
	thins   bool
}

// worked works the cup out.
func (c Cup) worked() cupWorked {
	known := cup.Figures{}
	for i, f := range cupFields {
		if c.given(i) && !f.thin {
			known[f.of] = cup.UsualInstruments.Read(f.of, c.figure(i))
		}
	}
	var out cupWorked
	bypass := cup.Quantity{}
	if c.bypass > 0 {
		bypass = cup.UsualInstruments.Read(cup.Water, c.bypass)
	}
	out.figures, out.usual, out.err = cup.SolveUsual(c.balance, known, bypass)
	if out.err != nil {
		out.figures = known
		return out
	}
	beverage, strength := out.figures[cup.Beverage], out.figures[cup.Strength]
	if to := c.figure(thinTo); to > 0 && beverage.Value > 0 && strength.Value > 0 {
		out.thinned, out.err = cup.Dilute(beverage.Value, strength.Value, to)
		out.thins = out.err == nil
	}
	return out
}

// given reports whether a field was typed in. A nought is on its way to a
// figure, but for the last drops and what the grounds keep, which may be none.
func (c Cup) given(field int) bool {
	mayBeNone := cupFields[field].of == cup.Last || cupFields[field].of == cup.Retained
	return c.figure(field) > 0 || mayBeNone && c.typed[field] != ""
}
