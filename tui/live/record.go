package live

import (
	"slices"
	"time"

	"barline/brew"

	tea "github.com/charmbracelet/bubbletea"
)

// Recorder keeps what happens. Its methods return when what they were given
// is safe, and are called from commands, several at a time.
type Recorder interface {
	// Append keeps event n of the brew, counted from 0. Whatever order the
	// calls come in, events are kept in the order of n: when it returns nil
	// all those before are safe too, even where it had an error for them.
	// zero is what the machine's clock read at the timeline's zero.
	Append(n int, e brew.Event, zero time.Duration) error
	// Measure keeps what was said of the cup. What was said of it before is
	// kept too, and stands no more.
	Measure(c brew.Correction) error
}

// record is what the page knows of the brew's record.
type record struct {
	events  int // that have happened, in all lanes
	kept    Kept
	hollow  []hollow // marks that it does not hold yet
	awaited int      // answers that the recorder still owes
	closing bool     // the page goes when they are in
	latest  brew.Event
	again   bool // it is being asked once more whether the latest is safe
}

// hollow is a mark that was made, or moved, but is not in the record yet.
type hollow struct{ event, lane, beat int }

// savedMsg says that an event is safe, or why it is not.
type savedMsg struct {
	brew time.Duration // the zero of the brew that it belongs to
	n    int
	err  error
}

// MeasuredMsg says that the reading is safe, or why it is not.
type MeasuredMsg struct {
	brew time.Duration
	Err  error
}

// Unsaved returns why some of the brew or its reading is not in the record,
// nil where all that the recorder has answered for is.
func (p Page) Unsaved() error {
	if err := p.record.kept.Fault(); err != nil {
		return err
	}
	return p.report.fault
}

// keep hands an event to the recorder.
func (p Page) keep(e brew.Event, o brew.Outcome) (Page, tea.Cmd) {
	n := p.record.events
	p.record.events++
	p.record.latest = e
	if p.opt.Recorder == nil {
		return p, nil
	}
	p.record.awaited++
	if (e.Kind == brew.EventMark || e.Kind == brew.EventNudge) && o.Effect == brew.Taken {
		p.record.hollow = append(slices.Clip(p.record.hollow), hollow{n, e.Lane, o.Beat})
	}
	recorder, zero := p.opt.Recorder, p.pace.Zero
	return p, func() tea.Msg { return savedMsg{zero, n, recorder.Append(n, e, zero)} }
}

// saved takes note of what is safe.
func (p Page) saved(msg savedMsg) (Page, tea.Cmd) {
	if msg.brew != p.pace.Zero {
		return p, nil
	}
	return p.learn(msg).answered()
}

func (p Page) learn(msg savedMsg) Page {
	kept := p.record.kept.Answer(msg.n, msg.err)
	p.record.kept = kept
	p.record.hollow = slices.DeleteFunc(slices.Clone(p.record.hollow), func(h hollow) bool { return kept.Holds(h.event) })
	return p
}

// againMsg is the answer to who asked once more.
type againMsg struct{ savedMsg }

// askAgain asks once more for what could not be kept: the recorder goes on
// trying, and says so only when it is asked. The answer keeps nobody waiting.
func (p Page) askAgain() (Page, tea.Cmd) {
	if p.record.kept.Fault() == nil || p.record.again {
		return p, nil
	}
	p.record.again = true
	recorder, zero, n, e := p.opt.Recorder, p.pace.Zero, p.record.events-1, p.record.latest
	return p, func() tea.Msg { return againMsg{savedMsg{zero, n, recorder.Append(n, e, zero)}} }
}

// answeredAgain takes note of that answer.
func (p Page) answeredAgain(msg againMsg) Page {
	if msg.brew != p.pace.Zero {
		return p
	}
	p.record.again = false
	return p.learn(msg.savedMsg)
}

// measured takes note of whether the reading is safe.
func (p Page) measured(msg MeasuredMsg) (Page, tea.Cmd) {
	if msg.brew != p.pace.Zero {
		return p, nil
	}
	p.report.saved, p.report.fault = msg.Err == nil, msg.Err
	return p.answered()
}

// answered counts an answer of the recorder.
func (p Page) answered() (Page, tea.Cmd) {
	p.record.awaited--
	if p.record.closing && p.record.awaited == 0 {
		return p, left
	}
	return p, nil
}

// close leaves the page as soon as the recorder has answered for everything
// that was handed to it: a program that quits does not wait for commands.
// Asked a second time it does not wait either.
func (p Page) close() (Page, tea.Cmd) {
	if p.record.awaited > 0 && !p.record.closing {
		p.record.closing = true
		return p, nil
	}
	return p, left
}

// isHollow reports whether the record does not hold the mark of a beat yet.
func (p Page) isHollow(lane, beat int) bool {
	return slices.ContainsFunc(p.record.hollow, func(h hollow) bool { return h.lane == lane && h.beat == beat })
}
