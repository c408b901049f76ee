package pages

import (
	"fmt"

	"barline/brew"
	"barline/brew/drift"
	"barline/tui/draw"
	"barline/tui/keys"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
)

// Journal is what the pages ask the record for, and tell it. It is asked from
// commands only.
type Journal interface {
	// Brews returns at most n brews that pass the filter, the newest first,
	// from behind the given one on ("" is the beginning), and whether there
	// are more.
	Brews(f Filter, behind string, n int) (brews []Brewed, more bool, err error)
	// Past returns a brew whole.
	Past(id string) (Past, error)
	// Measure keeps what was measured of a brew's cup later. What it corrects
	// is kept too.
	Measure(id string, r brew.Reading) error
}

// Filter says which brews are listed. What is empty does not narrow it.
type Filter struct {
	Recipe string
	Person string
	Kind   string
	Days   int // only this many days, today among them; 0 for all
}

// Brewed is a brew in the list.
type Brewed struct {
	ID     string
	When   string // day and time of its start
	Recipe string
	Person string
	Kind   string
	End    string // how it ended, in words
}

// Past is a brew that is over.
type Past struct {
	Brewed
	Lane       brew.Lane
	Conditions drift.Conditions
	Reading    brew.Reading // as it stands now
	Said       []string     // coffee, lot, notes, earlier readings: a line each
}

// RecordKeys are the keys of the record's list.
type RecordKeys struct{ Up, Down, Open, Person, Recipe, Kind, Days, All, Leave key.Binding }

// DefaultRecordKeys returns the keys of the record's list.
func DefaultRecordKeys() RecordKeys {
	bind := func(help, desc string, keys ...string) key.Binding {
		return key.NewBinding(key.WithKeys(keys...), key.WithHelp(help, desc))
	}
	return RecordKeys{
		Up:     bind("up", "move up", "up", "pgup"),
		Down:   bind("down", "move down", "down", "pgdown"),
		Open:   bind("enter", "open", "enter", " "),
		Person: bind("p", "this person only", "p"),
		Recipe: bind("r", "this recipe only", "r"),
		Kind:   bind("k", "next kind", "k"),
		Days:   bind("d", "days", "d"),
		All:    bind("a", "all", "a"),
		Leave:  bind("q", "back", "q", "esc", "ctrl+c"),
	}
}

// Bindings returns every key, in the order of the help.
func (k RecordKeys) Bindings() []key.Binding {
	return []key.Binding{k.Open, k.Person, k.Recipe, k.Kind, k.Days, k.All, k.Down, k.Up, k.Leave}
}

// Record is the page of everything that was brewed.
type Record struct {
	journal       Journal
	keys          RecordKeys
	filter        Filter
	brews         []Brewed
	more          bool
	asking        int // the list that is waited for; older answers are stale
	waiting       bool
	err           error
	at            int
	width, height int
}

// NewRecord returns the page and the command that fills it.
func NewRecord(j Journal, k RecordKeys) (Record, tea.Cmd) {
	return Record{journal: j, keys: k}.ask()
}

// batch is how many brews are asked for at a time.
const batch = 100

// listedMsg is a piece of the list.
type listedMsg struct {
	asking int
	behind string
	brews  []Brewed
	more   bool
	err    error
}

// openedMsg is a brew that was opened.
type openedMsg struct {
	past Past
	err  error
}

// PastMsg says which brew the person wants to see.
type PastMsg struct{ Past Past }

// ask asks for the list from its beginning.
func (r Record) ask() (Record, tea.Cmd) {
	r.asking++
	r.brews, r.more, r.at, r.err = nil, false, 0, nil
	return r.askBehind("")
}

func (r Record) askBehind(behind string) (Record, tea.Cmd) {
	r.waiting = true
	j, f, asking := r.journal, r.filter, r.asking
	return r, func() tea.Msg {
		brews, more, err := j.Brews(f, behind, batch)
		return listedMsg{asking, behind, brews, more, err}
	}
}

// Resize tells the page how many cells it may draw on.
func (r Record) Resize(width, height int) Record {
	r.width, r.height = width, height
	return r
}

// Update answers a message.
func (r Record) Update(msg tea.Msg) (Record, tea.Cmd) {
	switch msg := msg.(type) {
	case listedMsg:
		if msg.asking != r.asking {
			return r, nil
		}
		r.waiting, r.err, r.more = false, msg.err, msg.more
		r.brews = append(r.brews[:len(r.brews):len(r.brews)], msg.brews...)
		return r, nil
	case openedMsg:
		r.err = msg.err
		if msg.err != nil {
			return r, nil
		}
		return r, func() tea.Msg { return PastMsg{msg.past} }
	case keys.Press:
		return r.press(msg)
	}
	return r, nil
}

func (r Record) press(k keys.Press) (Record, tea.Cmd) {
	chosen, ok := r.chosen()
	switch {
	case k.Is(r.keys.Leave):
		return r, func() tea.Msg { return BackMsg{} }
	case k.Is(r.keys.Up):
		r.at = max(r.at-1, 0)
	case k.Is(r.keys.Down):
		return r.down()
	case k.Is(r.keys.All):
		r.filter = Filter{}
		return r.ask()
	case k.Is(r.keys.Kind):
		r.filter.Kind = following(r.filter.Kind, kinds)
		return r.ask()
	case k.Is(r.keys.Days):
		r.filter.Days = following(r.filter.Days, spans)
		return r.ask()
	case !ok:
	case k.Is(r.keys.Open):
		j := r.journal
		return r, func() tea.Msg {
			past, err := j.Past(chosen.ID)
			return openedMsg{past, err}
		}
	case k.Is(r.keys.Person):
		r.filter.Person = chosen.Person
		return r.ask()
	case k.Is(r.keys.Recipe):
		r.filter.Recipe = chosen.Recipe
		return r.ask()
	}
	return r, nil
}

// kinds and spans are what the kind and the days go through, key by key.
var (
	kinds = []string{"", string(drift.Service), string(drift.Rehearsal), string(drift.Practice), string(drift.Demo)}
	spans = []int{0, 1, 7, 30, 365}
)

// following returns the value behind another one in a circle.
func following[T comparable](now T, all []T) T {
	for i, v := range all {
		if v == now {
			return all[(i+1)%len(all)]
		}
	}
	return all[0]
}

// down moves on, and asks for more of the list at its end.
func (r Record) down() (Record, tea.Cmd) {
	r.at = max(min(r.at+1, len(r.brews)-1), 0)
	if r.more && !r.waiting && r.at >= len(r.brews)-1 {
		return r.askBehind(r.brews[len(r.brews)-1].ID)
	}
	return r, nil
}

func (r Record) chosen() (Brewed, bool) {
	if r.at >= len(r.brews) {
		return Brewed{}, false
	}
	return r.brews[r.at], true
}

// Draw returns the page on a canvas of its size.
func (r Record) Draw() *draw.Canvas {
	c := draw.NewCanvas(r.width, r.height)
	y, foot := 0, r.height
	if r.height >= 6 {
		c.Text(0, 0, draw.Fit("what was brewed"+r.filter.words(), r.width), draw.Strong)
		y = 2
	}
	if r.height >= 3 {
		foot--
		c.Help(foot, r.keys.Bindings())
	}
	height := foot - y
	if text, role := r.state(); text != "" {
		for i, line := range draw.Wrap(text, r.width) {
			c.Text(0, y+i, line, role)
		}
		return c
	}
	from := max(0, min(r.at-height/2, len(r.brews)-height))
	for row := 0; row < height && from+row < len(r.brews); row++ {
		r.drawBrew(c, y+row, from+row)
	}
	return c
}

// state is what stands where the list would, where there is none.
func (r Record) state() (string, draw.Role) {
	switch {
	case r.err != nil:
		return "! " + r.err.Error(), draw.Caution
	case len(r.brews) > 0:
		return "", draw.Plain
	case r.waiting:
		return "looking", draw.Faint
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

// drawBrew draws a brew in columns; on a narrow screen the day and the recipe
// alone.
func (r Record) drawBrew(c *draw.Canvas, y, i int) {
	b, role, lead := r.brews[i], draw.Plain, "  "
	if i == r.at {
		role, lead = draw.Strong, "> "
	}
	x := c.Text(0, y, lead, draw.Now)
	columns := []struct {
		text  string
		width int
	}{{b.When, 16}, {b.Recipe, 26}, {b.Person, 10}, {b.Kind, 9}, {b.End, r.width}}
	for n, col := range columns {
		room := min(col.width, r.width-x)
		if room < 8 && n > 1 {
			return
		}
		c.Text(x, y, draw.Fit(col.text, room), role)
		x += col.width + 1
	}
}
