package rehearsal

import (
	"slices"
	"strings"

	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
)

// record is what the page knows of the takes' record.
type record struct {
	events  int // happenings of the take, so far
	before  int // of the take before it
	kept    live.Kept
	hollow  []hollow // marks that it does not hold yet
	earlier error    // why some of an earlier take is not kept
	awaited int      // answers that the recorder still owes
	closing bool     // the page goes when they are in
}

// hollow is a mark that is not kept yet: its happening, its lane and its beat.
type hollow struct{ n, lane, beat int }

// savedMsg says that a happening is safe, or why it is not.
type savedMsg struct {
	take, n int
	err     error
}

// Unsaved returns why some of what was rehearsed is not in the record, nil
// where all that the recorder has answered for is.
func (p Page) Unsaved() error {
	if err := p.record.kept.Fault(); err != nil {
		return err
	}
	return p.record.earlier
}

// keep hands what happened to the recorder.
func (p Page) keep(h Happening) (Page, tea.Cmd) {
	n := p.record.events
	p.record.events++
	if p.opt.Recorder == nil {
		return p, nil
	}
	if n == 0 {
		h.Before = p.record.before
	}
	p.record.awaited++
	recorder, take, zero := p.opt.Recorder, p.take, p.pace.Zero
	return p, func() tea.Msg { return savedMsg{take, n, recorder.Append(take, n, h, zero)} }
}

// await shows a mark as hollow until the record holds it.
func (p Page) await(lane, beat int) Page {
	p.latest = answer{true, lane, beat, p.record.events - 1}
	if p.opt.Recorder != nil {
		p.record.hollow = append(slices.Clip(p.record.hollow), hollow{p.record.events - 1, lane, beat})
	}
	return p
}

// saved takes note of what is safe.
func (p Page) saved(msg savedMsg) (Page, tea.Cmd) {
	switch {
	case msg.take == p.take:
		kept := p.record.kept.Answer(msg.n, msg.err)
		p.record.kept = kept
		p.record.hollow = slices.DeleteFunc(slices.Clone(p.record.hollow), func(h hollow) bool { return kept.Holds(h.n) })
	case msg.err != nil:
		p.record.earlier = msg.err
	}
	p.record.awaited--
	if p.record.closing && p.record.awaited == 0 {
		return p, left
	}
	return p, nil
}

// next turns the record to the next take.
func (r record) next() record {
	if err := r.kept.Fault(); err != nil {
		r.earlier = err
	}
	r.before, r.events, r.kept, r.hollow = r.events, 0, live.Kept{}, nil
	return r
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
func (p Page) isHollow(lane, beat int) bool {
	return slices.ContainsFunc(p.record.hollow, func(h hollow) bool { return h.lane == lane && h.beat == beat })
}

// warning says that the take is not being saved, and why; else that the last
// minute has begun.
func (p Page) warning() string {
	if err := p.Unsaved(); err != nil {
		return "! not saved: " + strings.ReplaceAll(err.Error(), "\n", "; ")
	}
	return p.minuteCall()
}
