package rehearsal

import (
	"cmp"
	"strings"

	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
)

// record is what the page knows of the takes' record. Its events are the
// happenings of the take on the page.
type record struct {
	live.Ledger
	before  int   // how many the take before it had
	earlier error // why some of an earlier take is not kept
}

// savedMsg says that a happening is safe, or why it is not.
type savedMsg struct {
	take, n int
	err     error
}

// Unsaved returns why some of what was rehearsed is not in the record, nil
// where all that the recorder has answered for is.
func (p Page) Unsaved() error {
	if err := p.record.Fault(); err != nil {
		return err
	}
	return p.record.earlier
}

// keep hands what happened to the recorder.
func (p Page) keep(h Happening) (Page, tea.Cmd) {
	var n int
	p.record.Ledger, n = p.record.Next()
	if p.opt.Recorder == nil {
		return p, nil
	}
	if n == 0 {
		h.Before = p.record.before
	}
	p.record.Ledger = p.record.Await()
	recorder, take, zero := p.opt.Recorder, p.take, p.pace.Zero
	return p, func() tea.Msg { return savedMsg{take, n, recorder.Append(take, n, h, zero)} }
}

// await shows a mark as hollow until the record holds it.
func (p Page) await(lane, beat int) Page {
	n := p.record.Events() - 1
	p.latest = answer{true, lane, beat, n}
	if p.opt.Recorder != nil {
		p.record.Ledger = p.record.Hollow(n, lane, beat)
	}
	return p
}

// saved takes note of what is safe.
func (p Page) saved(msg savedMsg) (Page, tea.Cmd) {
	switch {
	case msg.take == p.take:
		p.record.Ledger = p.record.Learn(msg.n, msg.err)
	case msg.err != nil:
		p.record.earlier = msg.err
	}
	var cmd tea.Cmd
	p.record.Ledger, cmd = p.record.Answered(left)
	return p, cmd
}

// next turns the record to the next take.
func (r record) next() record {
	return record{r.From(0), r.Events(), cmp.Or(r.Fault(), r.earlier)}
}

// close leaves the page as soon as the record allows it.
func (p Page) close() (Page, tea.Cmd) {
	var cmd tea.Cmd
	p.record.Ledger, cmd = p.record.Close(left)
	return p, cmd
}

// warning says that the take is not being saved, and why; else that the last
// minute has begun.
func (p Page) warning() string {
	if err := p.Unsaved(); err != nil {
		return "! not saved: " + strings.ReplaceAll(err.Error(), "\n", "; ")
	}
	return p.minuteCall()
}
