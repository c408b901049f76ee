package live

import (
	"time"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/stage"
)

// scene is what is to be shown at one moment: the lane whose prompt is large
// and what comes next in any.
type scene struct {
	page   Page
	at     time.Duration // on the timeline's clock
	lane   int
	line   brew.Lane
	plan   *brew.Plan
	moment brew.Moment
	next   called
}

func (p Page) scene() scene {
	at := p.pace.At(p.now)
	s := scene{page: p, at: at, lane: p.focus(at)}
	s.line = p.timeline.Lane(s.lane)
	s.plan = s.line.Plan()
	if s.counts() {
		s.moment = brew.Moment{On: -1, Beside: -1, Next: -1, Pending: -1}
		s.next = called{s.lane, p.first(s.lane), -at}
		return s
	}
	s.moment = s.line.At(s.line.Elapsed(at))
	s.next = p.next(at, s.lane)
	return s
}

// counts reports whether the clock counts in.
func (s scene) counts() bool { return !s.line.Started() }

// first returns the cue that a lane starts with: the one that is on at the
// moment it is entered at, or comes then.
func (p Page) first(lane int) int {
	plan := p.opt.Plans[lane]
	m := plan.At(p.opt.From)
	if m.On < 0 {
		return max(m.Next, 0)
	}
	return m.On
}

// cue returns the cue that is on.
func (s scene) cue() (brew.Cue, bool) {
	if s.moment.On < 0 {
		return brew.Cue{}, false
	}
	return s.plan.Cues[s.moment.On], true
}

// coming returns the cue that is called next.
func (s scene) coming() (brew.Cue, bool) {
	if s.next.cue < 0 {
		return brew.Cue{}, false
	}
	return s.page.opt.Plans[s.next.lane].Cues[s.next.cue], true
}

// word is the one large word of the moment.
func (s scene) word() string {
	cue, on := s.cue()
	switch {
	case s.counts():
		return "READY"
	case on:
		return stage.Word(cue.Action)
	case s.moment.Next >= 0:
		return string(stage.WaitWord)
	case s.moment.Pending >= 0:
		return "MARK"
	}
	return "DONE"
}

// amount is what the scale should read, or how far the press should be.
func (s scene) amount() string {
	if cue, on := s.cue(); on && cue.Action == brew.Press {
		return stage.Percent(s.moment.Done)
	}
	if s.moment.HasReading {
		return stage.Weight(s.moment.Reading)
	}
	return ""
}

// left is how long until the cue that is on ends, or the next begins.
func (s scene) left() string {
	switch {
	case s.counts():
		return stage.Countdown(-s.at)
	case s.moment.On >= 0:
		return stage.Countdown(s.moment.Left)
	case s.moment.Next >= 0:
		return stage.Countdown(s.moment.NextIn)
	}
	return ""
}

// clock returns what the large clock shows at a moment of the lane.
func (s scene) clock(at time.Duration) string { return brew.Clock(s.page.own(s.lane, at)) }

// prompt is what to do.
func (s scene) prompt() string {
	cue, on := s.cue()
	switch {
	case s.counts() && s.page.opt.From == 0:
		return "water meets coffee at 0:00"
	case s.counts():
		return "the clock starts at " + brew.Clock(s.page.opt.From)
	case on:
		return cue.Prompt
	case s.moment.Next >= 0:
		start, _ := s.line.Span(s.moment.Next)
		return "hands free until " + s.clock(start)
	case s.moment.Pending >= 0:
		return "waiting for the mark: " + s.plan.Beats[s.moment.Pending].Name
	}
	return ""
}

// until is when the prompt must be done.
func (s scene) until() string {
	if s.moment.On < 0 {
		return ""
	}
	_, end := s.line.Span(s.moment.On)
	return "by " + s.clock(end)
}

// label is what the cue that is on is called, where the recipe says so.
func (s scene) label() string {
	cue, _ := s.cue()
	return cue.Label
}

// toGo is what is left to pour.
func (s scene) toGo() string {
	if cue, on := s.cue(); on && (cue.Action == brew.Pour || cue.Action == brew.Bypass && cue.OnScale) {
		return stage.Weight(s.moment.ToGo) + " to go"
	}
	return ""
}

// beside is what goes on by itself meanwhile.
func (s scene) beside() string {
	if s.moment.Beside < 0 {
		return ""
	}
	_, end := s.line.Span(s.moment.Beside)
	return s.plan.Cues[s.moment.Beside].Name + " until " + s.clock(end)
}

// following is what comes next in any lane.
func (s scene) following() stage.Next {
	cue, coming := s.coming()
	if !coming {
		return stage.Next{}
	}
	return stage.Next{
		Prompt: cue.Prompt, Lane: s.page.name(s.next.lane), In: stage.Countdown(s.next.in),
		At: "at " + s.calledAt(), Soon: s.next.in <= s.page.opt.Ahead,
	}
}

// calledAt is when the next cue is called.
func (s scene) calledAt() string {
	if s.counts() {
		return brew.Clock(s.page.opt.From)
	}
	start, _ := s.page.timeline.Lane(s.next.lane).Span(s.next.cue)
	return brew.Clock(s.page.own(s.next.lane, start))
}

// careAhead is how long before its cue a word of caution comes back.
const careAhead = 20 * time.Second

// care returns words of caution: those of the cue that is on, else those of a
// cue that is coming; else why the cue that is on is done so.
func (s scene) care() stage.Care {
	cue, on := s.cue()
	if on && cue.Caution != "" {
		return stage.Care{Text: cue.Caution, Role: draw.Caution}
	}
	if w := s.page.warned(s.at, careAhead); w.cue >= 0 && !s.counts() {
		coming := s.page.opt.Plans[w.lane].Cues[w.cue]
		return stage.Care{Text: stage.Lead(s.page.name(w.lane)) + coming.Name + ": " + coming.Caution, Role: draw.Caution, Ahead: true}
	}
	return stage.Care{Text: cue.Why, Role: draw.Faint}
}
