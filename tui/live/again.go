package live

import (
	"math"
	"time"

	"barline/brew"
	"barline/tui/draw"

	tea "github.com/charmbracelet/bubbletea"
)

// Resume returns the page in the middle of a brew that was cut off: with all
// that had happened, and its clock where it stands now. zero is what the
// machine's clock read at the timeline's zero, events how many the record
// holds. It asks the clock, so call it from a command.
func Resume(opt Options, t brew.Timeline, zero time.Duration, events int) Page {
	p := New(opt)
	p.timeline, p.phase, p.pace.Zero, p.now = t, brewing, zero, opt.Now()
	p.record.Ledger = p.record.From(events)
	p.rung = math.MaxInt64 // nothing rings for what was missed
	return p
}

// Review returns the debrief of a brew that is over for good: it cannot be
// gone on with, but readings may be added to those that it has.
func Review(opt Options, t brew.Timeline, reading brew.Reading) Page {
	p := New(opt)
	p.timeline, p.past = t, true
	p.report.reading, p.report.before = reading, reading
	return p.openDebrief()
}

// Retell returns the page with other lines on what else is known of the brew.
func (p Page) Retell(said []string) Page {
	p.opt.Said = said
	return p
}

// overslept keeps in the record that the machine slept, and tells it: the
// clock has gone on, but nobody was called.
func (p Page) overslept(msg tickMsg) (Page, tea.Cmd) {
	if msg.slept == "" || p.phase != brewing {
		return p, nil
	}
	p.now = max(p.now, msg.at)
	p, cmd := p.fold(brew.Event{Kind: brew.EventNote, At: p.pace.At(p.now), Text: msg.slept, Source: brew.FromClock})
	p.notice = notice{"! " + msg.slept, draw.Caution, p.now}
	return p, cmd
}

// wake is the tick that sets a resumed brew going.
func (p Page) wake() tea.Cmd {
	tick, now := tickMsg{brew: p.pace.Zero, n: p.tick}, p.opt.Now
	return func() tea.Msg {
		tick.at = now()
		return tick
	}
}

// Zero returns what the machine's clock read at the timeline's zero.
func (p Page) Zero() time.Duration { return p.pace.Zero }
