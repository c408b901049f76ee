package live

import (
	"barline/brew"
	"barline/brew/drift"
	"barline/tui/keys"

	tea "github.com/charmbracelet/bubbletea"
)

// report is the debrief that is being read and the readings that are being
// taken.
type report struct {
	lane    int             // whose debrief is shown
	top     int             // the first row shown
	field   int             // what is asked for: rowsOnly, an index into Readings, or behind them
	reading brew.Reading    // as it is with what was typed
	before  brew.Reading    // that the record had when the page was opened
	said    brew.Correction // what was typed, which alone goes into the record
	wrong   string          // with what was typed
	saved   bool
	fault   error // why the reading is not saved
}

// rowsOnly is that nothing is asked for yet: the rows are being read.
const rowsOnly = -1

// asks reports whether a reading is being typed in.
func (r report) asks() bool { return r.field != rowsOnly && r.field < len(Readings) }

// taken reports whether the readings are behind the person.
func (r report) taken() bool { return r.field >= len(Readings) }

// openDebrief ends the live part. A note that is being typed stays open.
func (p Page) openDebrief() Page {
	p.phase = debriefing
	if p.asking == leaving {
		p.asking = nothing
	}
	p.notice = notice{}
	p.report = report{field: rowsOnly, reading: p.report.reading, before: p.report.before, said: p.report.said}
	return p
}

// debrief answers a key after the brew.
func (p Page) debrief(k keys.Press) (Page, tea.Cmd) {
	if p.report.asks() {
		return p.measure(k)
	}
	m, hold, counts := p.opt.Keys, keys.Hold, false
	if k.Is(m.Lane) {
		hold = keys.Tap
	}
	if p.guard, counts = p.guard.Admit(k, hold); !counts && !k.Is(m.Up, m.Down) {
		return p, nil
	}
	switch {
	case k.Is(m.Up):
		p.report.top = max(min(p.report.top, p.review().last)-1, 0)
	case k.Is(m.Down):
		p.report.top = min(p.report.top+1, p.review().last)
	case k.Is(m.Lane):
		p.report.lane, p.report.top = (p.report.lane+1)%p.timeline.Lanes(), 0
	case k.Is(m.Leave), k.Is(m.Mark) && p.report.taken():
		return p.close()
	case k.Is(m.Undo) && !p.report.taken():
		return p.resume()
	case k.Is(m.Mark):
		return p.askFor(0), nil
	}
	return p, nil
}

// reopens reports whether taking the latest mark back would let the brew go
// on: some time after its end it would end again in the same moment, and the
// mark would be lost for nothing.
func (p Page) reopens() bool {
	i := p.timeline.Undoable()
	if i < 0 || p.past {
		return false
	}
	at := p.pace.At(p.now)
	without, _ := p.timeline.Apply(brew.Event{Kind: brew.EventUndo, Lane: i, At: at})
	lane := without.Lane(i)
	due, runs := lane.EndsItself()
	return runs && lane.Elapsed(at) < due
}

// resume takes the latest mark back and goes on with the brew, whose clock
// never stopped.
func (p Page) resume() (Page, tea.Cmd) {
	if !p.reopens() {
		return p, nil
	}
	lane := p.timeline.Undoable()
	p.record.Ledger = p.record.Stay()
	p, cmd := p.fold(brew.Event{Kind: brew.EventUndo, Lane: lane, At: p.pace.At(p.now), Source: brew.FromKey})
	if !p.timeline.Ended() {
		p.phase, p.rung = brewing, p.pace.At(p.now)
	}
	p, ended := p.finish()
	return p, tea.Batch(cmd, ended)
}

// askFor asks for a reading.
func (p Page) askFor(field int) Page {
	p.record.Ledger = p.record.Stay()
	p.report.field, p.report.wrong = field, ""
	p.input.Reset()
	p.input.Focus()
	return p
}

// measure takes one reading after the other; each is left out with one key.
func (p Page) measure(k keys.Press) (Page, tea.Cmd) {
	p, ends := p.edit(k)
	if !ends {
		return p, nil
	}
	if !k.Is(p.opt.Keys.Enter) {
		return p.askFor(rowsOnly), nil
	}
	if err := Readings[p.report.field].Take(&p.report.said, p.input.Value()); err != nil {
		p.report.wrong = err.Error()
		return p, nil
	}
	p.report.reading = p.report.said.Of(p.report.before)
	p = p.askFor(p.report.field + 1)
	if p.report.asks() {
		return p, nil
	}
	return p.keepReading()
}

// keepReading hands what was typed to the record, and nothing else: what the
// page had when it was opened may have been corrected at another terminal.
func (p Page) keepReading() (Page, tea.Cmd) {
	if p.report.said.Empty() || p.report.reading.Empty() && p.report.before.Empty() {
		return p.close()
	}
	recorder, said, zero := p.opt.Recorder, p.report.said, p.pace.Zero
	if recorder == nil {
		return p, nil
	}
	p.record.Ledger = p.record.Await()
	return p, func() tea.Msg { return MeasuredMsg{zero, recorder.Measure(said)} }
}

// debriefOf returns what is known of the lane's timings.
func (p Page) debriefOf(lane int) drift.Debrief {
	return p.Conditions().Of(p.timeline.Lane(lane))
}
