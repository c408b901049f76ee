package service

import (
	"strings"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
)

// record is what the page knows of the service's record.
type record struct {
	live.Ledger
	latest marked // the mark that was made last
	any    bool   // there is one
}

// marked is a mark that was made: its brew and its beat; -1 is the brew's zero.
type marked struct{ brew, beat int }

// savedMsg says that an event is safe, or why it is not.
type savedMsg struct {
	n   int
	err error
}

// Unsaved returns why some of the service is not in the record, nil where all
// that the recorder has answered for is.
func (p Page) Unsaved() error { return p.record.Fault() }

// keep hands an event to the recorder.
func (p Page) keep(e bar.ServiceEvent, r bar.Result) (Page, tea.Cmd) {
	var n int
	p.record.Ledger, n = p.record.Next()
	p = p.noteMarks(n, r)
	if p.opt.Recorder == nil {
		return p, nil
	}
	p.record.Ledger = p.record.Await()
	recorder, zero := p.opt.Recorder, p.opt.Zero
	return p, func() tea.Msg { return savedMsg{n, recorder.Append(n, e, r, zero)} }
}

// noteMarks remembers the marks of an event until the record holds them.
func (p Page) noteMarks(n int, r bar.Result) Page {
	for _, h := range r.Brews {
		m := marked{h.Brew, h.Outcome.Beat}
		switch {
		case h.Event.Kind == brew.EventStart:
			m.beat = -1
		case h.Event.Kind != brew.EventMark && h.Event.Kind != brew.EventNudge || h.Outcome.Effect != brew.Taken:
			continue
		}
		p.record.latest, p.record.any = m, true
		if p.opt.Recorder != nil {
			p.record.Ledger = p.record.Hollow(n, m.brew, m.beat)
		}
	}
	return p
}

// saved takes note of what is safe.
func (p Page) saved(msg savedMsg) (Page, tea.Cmd) {
	var cmd tea.Cmd
	p.record.Ledger, cmd = p.record.Learn(msg.n, msg.err).Answered(left)
	return p, cmd
}

// close leaves the page as soon as the record allows it.
func (p Page) close() (Page, tea.Cmd) {
	var cmd tea.Cmd
	p.record.Ledger, cmd = p.record.Close(left)
	return p, cmd
}

// warning says that the service is not being saved, and why.
func (p Page) warning() string {
	if err := p.Unsaved(); err != nil {
		return "! not saved: " + strings.ReplaceAll(err.Error(), "\n", "; ")
	}
	return ""
}
