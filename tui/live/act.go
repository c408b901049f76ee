package live

import (
	"barline/brew"
	"barline/tui/draw"
	"barline/tui/keys"

	tea "github.com/charmbracelet/bubbletea"
)

// act answers a key while the brew runs.
func (p Page) act(k keys.Press) (Page, tea.Cmd) {
	at, m := p.pace.At(p.now), p.opt.Keys
	event := brew.Event{Lane: p.focus(at), At: at, Source: brew.FromKey}
	switch {
	case k.Is(m.Mark):
		event.Kind = brew.EventMark
		if lane := p.timeline.Nearest(at, event.Lane); lane >= 0 {
			event.Lane = lane
		}
		if k.String() == "pgdown" {
			event.Source = brew.FromFootSwitch
		}
	case k.Is(m.Undo):
		event.Kind = brew.EventUndo
		event.Lane = max(p.timeline.Undoable(), 0)
	case k.Is(m.Nudge):
		event.Kind = brew.EventNudge
		event.Lane, _ = p.latest()
	case k.Is(m.Skip):
		event.Kind = brew.EventSkip
	case k.Is(m.Finish) && !p.over():
		p.notice = notice{"the brew is not over; " + m.Leave.Help().Key + " stops it", draw.Faint, p.now}
		return p, nil
	case k.Is(m.Finish):
		event.Kind = brew.EventFinish
	case k.Is(m.Zero):
		event.Kind = brew.EventZero
	case k.Is(m.Note):
		return p.ask(noting), nil
	default:
		return p, nil
	}
	return p.apply(event)
}

// over reports whether no cue is on or to come in any lane that runs.
func (p Page) over() bool {
	for i := range p.timeline.Lanes() {
		lane := p.timeline.Lane(i)
		if p.running(i) && !lane.At(lane.Elapsed(p.pace.At(p.now))).Over() {
			return false
		}
	}
	return true
}

// apply folds an event that the person caused, and ends what it ended.
func (p Page) apply(e brew.Event) (Page, tea.Cmd) {
	p, kept := p.fold(e)
	p, ended := p.finish()
	return p, tea.Batch(kept, ended)
}

// fold applies an event and hands it to the recorder.
func (p Page) fold(e brew.Event) (Page, tea.Cmd) {
	var outcome brew.Outcome
	p.timeline, outcome = p.timeline.Apply(e)
	p = p.tell(e, outcome)
	if outcome.Effect == brew.Refused {
		return p, nil
	}
	return p.keep(e, outcome)
}

// tell says what an event did.
func (p Page) tell(e brew.Event, o brew.Outcome) Page {
	say := func(text string, role draw.Role) { p.notice = notice{text, role, p.now} }
	lane := p.timeline.Lane(e.Lane)
	switch {
	case o.Effect == brew.Refused:
		say(o.Why, draw.Faint)
	case o.Effect == brew.Stray:
		say(o.Why+"; the mark moves nothing", draw.Faint)
	case e.Kind == brew.EventMark, e.Kind == brew.EventNudge:
		p.notice = notice{at: p.now} // how it fell is worked out anew at each frame
	case e.Kind == brew.EventUndo && o.Beat >= 0:
		say("taken back: "+lane.Plan().Beats[o.Beat].Name, draw.Plain)
	case e.Kind == brew.EventUndo:
		say("taken back", draw.Plain)
	case e.Kind == brew.EventSkip:
		say("skipped: "+lane.Plan().Cues[o.Cue].Name, draw.Plain)
	case e.Kind == brew.EventZero:
		say("0:00 is now", draw.Plain)
	case e.Kind == brew.EventNote:
		say("noted", draw.Plain)
	}
	return p
}
