package service

import (
	"slices"
	"strings"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
)

// record is what the page knows of the service's record.
type record struct {
	events  int // that have happened
	kept    live.Kept
	hollow  []marked // marks that it does not hold yet
	latest  marked   // the mark that was made last
	any     bool     // there is one
	awaited int      // answers that the recorder still owes
	closing bool     // the page goes when they are in
}

// marked is a mark that was made: its event, its brew and its beat; -1 is the
// brew's zero.
type marked struct{ event, brew, beat int }

// savedMsg says that an event is safe, or why it is not.
type savedMsg struct {
	n   int
	err error
}

// Unsaved returns why some of the service is not in the record, nil where all
// that the recorder has answered for is.
func (p Page) Unsaved() error { return p.record.kept.Fault() }

// keep hands an event to the recorder.
func (p Page) keep(e bar.ServiceEvent, r bar.Result) (Page, tea.Cmd) {
	n := p.record.events
	p.record.events++
	p = p.noteMarks(n, r)
	if p.opt.Recorder == nil {
		return p, nil
	}
	p.record.awaited++
	recorder, zero := p.opt.Recorder, p.opt.Zero
	return p, func() tea.Msg { return savedMsg{n, recorder.Append(n, e, r, zero)} }
}

// noteMarks remembers the marks of an event until the record holds them.
func (p Page) noteMarks(n int, r bar.Result) Page {
	for _, h := range r.Brews {
		m := marked{n, h.Brew, h.Outcome.Beat}
		switch {
		case h.Event.Kind == brew.EventStart:
			m.beat = -1
		case h.Event.Kind != brew.EventMark && h.Event.Kind != brew.EventNudge || h.Outcome.Effect != brew.Taken:
			continue
		}
		p.record.latest, p.record.any = m, true
		if p.opt.Recorder != nil {
			p.record.hollow = append(slices.Clip(p.record.hollow), m)
		}
	}
	return p
}

// saved takes note of what is safe.
func (p Page) saved(msg savedMsg) (Page, tea.Cmd) {
	kept := p.record.kept.Answer(msg.n, msg.err)
	p.record.kept = kept
	p.record.hollow = slices.DeleteFunc(slices.Clone(p.record.hollow), func(m marked) bool { return kept.Holds(m.event) })
	p.record.awaited--
	if p.record.closing && p.record.awaited == 0 {
		return p, left
	}
	return p, nil
}

// close leaves the page as soon as the recorder has answered for everything
// that was handed to it; asked a second time it does not wait.
func (p Page) close() (Page, tea.Cmd) {
	if p.record.awaited > 0 && !p.record.closing {
		p.record.closing = true
		return p, nil
	}
	return p, left
}

// isHollow reports whether the record does not hold a mark yet.
func (p Page) isHollow(brew, beat int) bool {
	return slices.ContainsFunc(p.record.hollow, func(m marked) bool { return m.brew == brew && m.beat == beat })
}

// warning says that the service is not being saved, and why.
func (p Page) warning() string {
	if err := p.Unsaved(); err != nil {
		return "! not saved: " + strings.ReplaceAll(err.Error(), "\n", "; ")
	}
	return ""
}
