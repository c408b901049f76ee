package live

import (
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
	Ledger
	latest brew.Event
	again  bool // it is being asked once more whether the latest is safe
}

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
	if err := p.record.Fault(); err != nil {
		return err
	}
	return p.report.fault
}

// keep hands an event to the recorder.
func (p Page) keep(e brew.Event, o brew.Outcome) (Page, tea.Cmd) {
	var n int
	p.record.Ledger, n = p.record.Next()
	p.record.latest = e
	if p.opt.Recorder == nil {
		return p, nil
	}
	p.record.Ledger = p.record.Await()
	if (e.Kind == brew.EventMark || e.Kind == brew.EventNudge) && o.Effect == brew.Taken {
		p.record.Ledger = p.record.Hollow(n, e.Lane, o.Beat)
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
	p.record.Ledger = p.record.Learn(msg.n, msg.err)
	return p
}

// againMsg is the answer to who asked once more.
type againMsg struct{ savedMsg }

// askAgain asks once more for what could not be kept: the recorder goes on
// trying, and says so only when it is asked. The answer keeps nobody waiting.
func (p Page) askAgain() (Page, tea.Cmd) {
	if p.record.Fault() == nil || p.record.again {
		return p, nil
	}
	p.record.again = true
	recorder, zero, n, e := p.opt.Recorder, p.pace.Zero, p.record.Events()-1, p.record.latest
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
	var cmd tea.Cmd
	p.record.Ledger, cmd = p.record.Answered(left)
	return p, cmd
}

// close leaves the page as soon as the record allows it.
func (p Page) close() (Page, tea.Cmd) {
	var cmd tea.Cmd
	p.record.Ledger, cmd = p.record.Close(left)
	return p, cmd
}
