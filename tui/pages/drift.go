package pages

import (
	"time"

	"barline/brew/cup"
	"barline/brew/drift"

	tea "github.com/charmbracelet/bubbletea"
)

// Drifts is what the drift pages ask the record for. It is asked from commands
// only.
type Drifts interface {
	// Drifts returns what is kept of the recipe's brews of the filter's kind,
	// by whomever. The filter's days come back as the instant they begin, so
	// that the record may hold more than that.
	Drifts(f Filter) (Many, error)
}

// Many is many brews of one recipe. Its record must not change any more.
type Many struct {
	Record   *drift.Record   // nil for no brew
	Since    time.Time       // only brews from here on are looked at; zero for all
	Baseline drift.Baseline  // of the charts' limits
	Attempts []drift.Attempt // to brew alone
	LeftOut  int             // brews of the record that cannot be read
	Cup      *cup.Learnt     // what drifts did to the cup, by the newest version; nil where nothing was read
}

// DriftMsg says whose drift the person wants to see: the name of a recipe.
type DriftMsg struct{ Recipe string }

// driftView is which of the pages is on the screen.
type driftView int

const (
	onTable   driftView = iota // a recipe's page: a row a beat
	onBeat                     // one beat
	onPersons                  // a row a person
)

// Drift is the pages of what many brews of a recipe tell: the recipe's, a
// beat's, the persons'. What they show is worked out by commands and kept.
type Drift struct {
	source  Drifts
	keys    DriftKeys
	ascii   bool
	filter  Filter
	measure drift.Measure
	every   bool // versions, not the newest alone
	many    Many
	known   bool // many is what the filter asks for

	view    driftView
	table   driftTable
	tabled  glance // what the table was worked out for
	beat    driftBeat
	persons driftPersons
	at      int  // the row of the recipe's page, and the beat of the beat's
	who     int  // the row of the persons' page
	top     int  // the first line shown of the text
	single  bool // the chart has a column for each brew

	asking        int // what is waited for; older answers are stale
	waiting       bool
	err           error
	width, height int
}

// NewDrift returns the page of a recipe and the command that fills it. Service
// is the kind that is looked at first, as everywhere.
func NewDrift(source Drifts, recipe string, k DriftKeys, ascii bool) (Drift, tea.Cmd) {
	return Drift{
		source: source, keys: k, ascii: ascii, measure: drift.ByDrift,
		filter: Filter{Recipe: recipe, Kind: string(drift.Service)},
	}.ask()
}

// Resize tells the page how many cells it may draw on.
func (d Drift) Resize(width, height int) Drift {
	d.width, d.height = max(width, 0), max(height, 0)
	return d
}

// SeenMsg is the answer to what the drift page asked for: the brews, and the values
// of one page. It is for that page whichever is on the screen.
type SeenMsg struct {
	asking int
	of     glance
	many   Many
	values any // a driftTable, a driftBeat or a driftPersons
	err    error
}

// glance is what a page's values were worked out for.
type glance struct {
	filter  Filter
	measure drift.Measure
	every   bool
}

func (d Drift) glance() glance { return glance{d.filter, d.measure, d.every} }

// ask asks the record, and then looks.
func (d Drift) ask() (Drift, tea.Cmd) {
	d.known = false
	return d.look()
}

// look works out what the page shows, from brews that are known already where
// the filter has not changed.
func (d Drift) look() (Drift, tea.Cmd) {
	d.asking++
	d.waiting, d.err, d.top = true, nil, 0
	source, asking, known, many, filter, of := d.source, d.asking, d.known, d.many, d.filter, d.glance()
	work := d.work()
	return d, func() tea.Msg {
		if !known {
			var err error
			asked := filter
			asked.Person = ""
			if many, err = source.Drifts(asked); err != nil {
				return SeenMsg{asking: asking, err: err}
			}
			if many.Record == nil {
				many.Record = &drift.Record{}
			}
		}
		return SeenMsg{asking: asking, of: of, many: many, values: work(many)}
	}
}

// work returns what works out the values of the page on the screen.
func (d Drift) work() func(Many) any {
	of := d.glance()
	switch d.view {
	case onBeat:
		column := d.table.rows[d.at].summary.Column
		rate := d.table.rate()
		var page *drift.Page
		if d.tabled.filter == d.filter && d.tabled.every == d.every { // the findings are known
			page = &d.table.page
		}
		return func(m Many) any { return beatOf(m, of, column, rate, page) }
	case onPersons:
		return func(m Many) any { return personsOf(m) }
	}
	return func(m Many) any { return tableOf(m, of) }
}

// seen takes in what was asked for.
func (d Drift) seen(msg SeenMsg) Drift {
	if msg.asking != d.asking {
		return d
	}
	d.waiting, d.err = false, msg.err
	if msg.err != nil {
		return d
	}
	d.many, d.known = msg.many, true
	switch values := msg.values.(type) {
	case driftTable:
		d.table, d.tabled = values, msg.of
		d.at = max(min(d.at, len(values.rows)-1), 0)
	case driftBeat:
		d.beat = values
	case driftPersons:
		d.persons = values
		d.who = max(min(d.who, len(values.rows)-1), 0)
	}
	return d
}
