package pages

import (
	"barline/brew/drift"
	"barline/tui/keys"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
)

// DriftKeys are the keys of the drift pages.
type DriftKeys struct {
	Up, Down, Earlier, Later, More, Open, Persons, Measure, Single, Person, Kind, Versions, Days, All, Leave key.Binding
}

// DefaultDriftKeys returns the keys of the drift pages. Those that narrow what
// is looked at are the record's.
func DefaultDriftKeys() DriftKeys {
	bind := func(help, desc string, keys ...string) key.Binding {
		return key.NewBinding(key.WithKeys(keys...), key.WithHelp(help, desc))
	}
	k := DefaultRecordKeys()
	return DriftKeys{
		Up:       bind("up", "move up", "up"),
		Down:     bind("down", "move down", "down"),
		Earlier:  bind("page-up", "back up", "pgup"),
		More:     bind("page-down", "more", "pgdown"),
		Open:     bind("enter", "open", "enter", " "),
		Persons:  bind("w", "persons", "w"),
		Measure:  bind("m", "slip or drift", "m"),
		Single:   bind("z", "a column a brew, or all of them", "z"),
		Person:   bind("p", "person", "p"),
		Versions: bind("v", "versions", "v"),
		Kind:     bind(k.Kind.Help().Key, "kind", k.Kind.Keys()...),
		Days:     k.Days, All: k.All, Leave: k.Leave,
	}
}

// Table returns the keys of a recipe's page, in the order of the help.
func (k DriftKeys) Table() []key.Binding {
	return []key.Binding{k.Open, k.Leave, k.Persons, k.Measure, k.Person, k.Kind, k.Versions, k.Days, k.All, k.More, k.Earlier, k.Down, k.Up}
}

// Beat returns the keys of a beat's page.
func (k DriftKeys) Beat() []key.Binding {
	k.Down.SetHelp(k.Down.Help().Key, "next beat")
	k.Up.SetHelp(k.Up.Help().Key, "beat before")
	return []key.Binding{k.Leave, k.Down, k.Up, k.Single, k.Measure, k.Person, k.Kind, k.Versions, k.Days, k.All, k.More, k.Earlier}
}

// Who returns the keys of the persons' page.
func (k DriftKeys) Who() []key.Binding {
	k.Open.SetHelp(k.Open.Help().Key, "this person's beats")
	return []key.Binding{k.Open, k.Leave, k.Kind, k.Days, k.All, k.More, k.Earlier, k.Down, k.Up}
}

// Update answers a message.
func (d Drift) Update(msg tea.Msg) (Drift, tea.Cmd) {
	switch msg := msg.(type) {
	case SeenMsg:
		return d.seen(msg), nil
	case keys.Press:
		if d, cmd, done := d.narrow(msg); done {
			return d, cmd
		}
		switch {
		case msg.Is(d.keys.More):
			d.top = min(d.top+d.page(), d.last())
			return d, nil
		case msg.Is(d.keys.Earlier):
			d.top = max(min(d.top, d.last())-d.page(), 0)
			return d, nil
		}
		return map[driftView]func(keys.Press) (Drift, tea.Cmd){onTable: d.pressTable, onBeat: d.pressBeat, onPersons: d.pressPersons}[d.view](msg)
	}
	return d, nil
}

// narrow answers the keys that change which brews are looked at.
func (d Drift) narrow(k keys.Press) (out Drift, cmd tea.Cmd, done bool) {
	switch {
	case k.Is(d.keys.Kind):
		d.filter.Kind = following(d.filter.Kind, kinds[1:])
	case k.Is(d.keys.Days):
		d.filter.Days = following(d.filter.Days, spans)
	case k.Is(d.keys.All):
		d.filter = Filter{Recipe: d.filter.Recipe, Kind: string(drift.Service)}
		d.every = false
	default:
		return d, nil, false
	}
	d, cmd = d.ask()
	return d, cmd, true
}

// pressTable answers a key of a recipe's page.
func (d Drift) pressTable(k keys.Press) (Drift, tea.Cmd) {
	ready := !d.waiting && d.err == nil && len(d.table.rows) > 0
	switch {
	case k.Is(d.keys.Leave):
		return d, func() tea.Msg { return BackMsg{} }
	case k.Is(d.keys.Up):
		d.at = max(d.at-1, 0)
	case k.Is(d.keys.Down):
		d.at = max(min(d.at+1, len(d.table.rows)-1), 0)
	case k.Is(d.keys.Measure, d.keys.Person, d.keys.Versions):
		return d.other(k)
	case k.Is(d.keys.Persons):
		d.view = onPersons
		return d.look()
	case k.Is(d.keys.Open) && ready:
		d.view = onBeat
		return d.look()
	}
	return d, nil
}

// other answers the keys that ask for another measure, other versions or
// another person.
func (d Drift) other(k keys.Press) (Drift, tea.Cmd) {
	switch {
	case k.Is(d.keys.Measure):
		d.measure = following(d.measure, []drift.Measure{drift.ByDrift, drift.BySlip})
	case k.Is(d.keys.Versions):
		d.every = !d.every
	default:
		d.filter.Person = following(d.filter.Person, append([]string{""}, d.table.persons...))
	}
	return d.look()
}

// pressBeat answers a key of a beat's page.
func (d Drift) pressBeat(k keys.Press) (Drift, tea.Cmd) {
	at := d.at
	switch {
	case k.Is(d.keys.Leave):
		return d.turn()
	case k.Is(d.keys.Measure, d.keys.Person, d.keys.Versions):
		return d.other(k)
	case k.Is(d.keys.Single):
		d.single = !d.single
	case k.Is(d.keys.Up):
		at = max(at-1, 0)
	case k.Is(d.keys.Down):
		at = max(min(at+1, len(d.table.rows)-1), 0)
	}
	if at != d.at {
		d.at = at
		return d.look()
	}
	return d, nil
}

// pressPersons answers a key of the persons' page.
func (d Drift) pressPersons(k keys.Press) (Drift, tea.Cmd) {
	switch {
	case k.Is(d.keys.Leave):
		return d.turn()
	case k.Is(d.keys.Up):
		d.who, d.top = max(d.who-1, 0), 0
	case k.Is(d.keys.Down):
		d.who, d.top = max(min(d.who+1, len(d.persons.rows)-1), 0), 0
	case k.Is(d.keys.Open) && !d.waiting && d.err == nil && len(d.persons.rows) > 0:
		if person := d.persons.rows[d.who].name; person != "" { // who did not say cannot be asked for
			d.filter.Person = person
			return d.turn()
		}
	}
	return d, nil
}

// turn goes back to the recipe's page, which is worked out anew only where
// something else is looked at since.
func (d Drift) turn() (Drift, tea.Cmd) {
	d.view, d.top = onTable, 0
	if d.tabled != d.glance() {
		return d.look()
	}
	d.asking++
	d.waiting, d.err = false, nil
	return d, nil
}
