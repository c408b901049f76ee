package pages

import (
	"barline/brew"
	"barline/brew/drift"
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
	// Measure keeps what was said of a brew's cup later, all of it or nothing.
	// What it corrects is kept too.
	Measure(id string, c brew.Correction) error
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
	widest        columns // of all brews so far
	more          bool
	asking        int // the list that is waited for; older answers are stale
	waiting       bool
	err           error // why the list, or the brew that was opened, cannot be had
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
	r.brews, r.more, r.at, r.err, r.widest = nil, false, 0, nil, columns{}
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
	r.width, r.height = max(width, 0), max(height, 0)
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
		r.widest = r.widest.and(msg.brews)
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
	step := 1
	if k.Type == tea.KeyPgUp || k.Type == tea.KeyPgDown {
		step = max(r.rows(), 1)
	}
	if len(r.brews) > 0 {
		r.err = nil // it was about one of them, and has been read
	}
	switch {
	case k.Is(r.keys.Leave):
		return r, func() tea.Msg { return BackMsg{} }
	case k.Is(r.keys.Up):
		r.at = max(r.at-step, 0)
	case k.Is(r.keys.Down):
		return r.down(step)
	case k.Is(r.keys.All):
		r.filter = Filter{}
		return r.ask()
	case k.Is(r.keys.Kind):
		r.filter.Kind = following(r.filter.Kind, kinds)
		return r.ask()
	case k.Is(r.keys.Days):
		r.filter.Days = following(r.filter.Days, spans)
		return r.ask()
	case k.Is(r.keys.Person) && (ok || r.filter.Person != ""):
		r.filter.Person = other(r.filter.Person, chosen.Person)
		return r.ask()
	case k.Is(r.keys.Recipe) && (ok || r.filter.Recipe != ""):
		r.filter.Recipe = other(r.filter.Recipe, chosen.Recipe)
		return r.ask()
	case k.Is(r.keys.Open) && ok:
		j := r.journal
		return r, func() tea.Msg {
			past, err := j.Past(chosen.ID)
			return openedMsg{past, err}
		}
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

// other sets a filter, or takes it off where it was set.
func other(now, chosen string) string {
	if now != "" {
		return ""
	}
	return chosen
}

// down moves on, and asks for more of the list before its end is seen.
func (r Record) down(step int) (Record, tea.Cmd) {
	r.at = max(min(r.at+step, len(r.brews)-1), 0)
	if r.more && !r.waiting && r.at+r.height >= len(r.brews) {
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
