package plain

import (
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/tui/live"
)

// telling is how much of a cue has been said.
type telling int

const (
	untold telling = iota
	announced
	told
)

// announce says what is brewed and what to prepare.
func (c *caller) announce() {
	p := c.lane.Plan()
	water := p.Water.String() + " water"
	if p.Bypass > 0 {
		water += " and " + p.Bypass.String() + " bypass"
	}
	c.say("%s: %s coffee, %s, %s, %s, %s in all", p.Name, p.Dose, water, p.Temperature, p.Grind, brew.Clock(p.End))
	if c.opt.By != "" {
		c.say("brewed by %s", c.opt.By)
	}
	if c.opt.Kind != "" && c.opt.Kind != string(drift.Service) {
		c.say("this is %s, at speed %g", c.opt.Kind, c.opt.Speed)
	}
	for _, chore := range p.Prepare {
		c.say("prepare: %s", chore.Do)
	}
	for _, cue := range p.Cues {
		if cue.Caution != "" {
			c.say("caution: %s: %s", cue.Name, cue.Caution)
		}
	}
	c.say("%s", Help)
}

// next returns the next moment of the timeline at which something is to be
// said.
func (c *caller) next() time.Duration {
	next, _ := c.lane.EndsItself()
	for i, said := range c.said {
		start, _ := c.lane.Span(i)
		switch said {
		case untold:
			next = min(next, start-c.opt.Ahead)
		case announced:
			next = min(next, start)
		}
	}
	return next + c.lane.Zero()
}

// cues says what the clock has reached: cues, announcements, the end. What
// has been said is not said again when a late mark moves it, unless taking a
// mark back has put it into the future.
func (c *caller) cues(at time.Duration) {
	now := c.lane.Elapsed(at)
	for i, cue := range c.lane.Plan().Cues {
		start, end := c.lane.Span(i)
		switch {
		case c.lane.Skipped(i):
			c.said[i] = told
		case start > now && c.said[i] == told:
			c.said[i] = announced
		case start <= now && c.said[i] != told:
			c.said[i] = told
			c.say("%s", c.call(now, i, end))
		case start > now && start-c.opt.Ahead <= now && c.said[i] == untold:
			c.said[i] = announced
			c.say("%s in %s: %s%s", brew.Clock(now), live.Countdown(start-now), cue.Prompt, care(cue))
		}
	}
	if due, ok := c.lane.EndsItself(); ok && now >= due {
		c.apply(brew.Event{Kind: brew.EventFinish, At: c.lane.Zero() + due, Source: brew.FromClock})
	}
}

// call says what to do now, by when, which of its beats to mark, and why.
func (c *caller) call(now time.Duration, i int, end time.Duration) string {
	cue := c.lane.Plan().Cues[i]
	text := brew.Clock(now) + " " + cue.Prompt
	if cue.Label != "" {
		text += " (" + cue.Label + ")"
	}
	text += ", by " + brew.Clock(end)
	if c.lane.Plan().Asks(brew.Point{Cue: i, Edge: brew.StartEdge}) {
		text += ", mark as you begin"
	}
	if c.lane.Plan().Asks(brew.Point{Cue: i, Edge: brew.EndEdge}) {
		text += ", mark when done"
	}
	if cue.Why != "" {
		text += "; " + cue.Why
	}
	return text + care(cue)
}

func care(cue brew.Cue) string {
	if cue.Caution == "" {
		return ""
	}
	return "; caution: " + cue.Caution
}

// outcome says what an event did.
func (c *caller) outcome(e brew.Event, o brew.Outcome) string {
	plan := c.lane.Plan()
	switch {
	case o.Effect == brew.Refused:
		return o.Why
	case o.Effect == brew.Stray:
		return o.Why + "; the mark moves nothing"
	case e.Kind == brew.EventMark, e.Kind == brew.EventNudge:
		return "marked: " + plan.Beats[o.Beat].Name + " " + drift.OfMark(c.lane, o.Beat).String()
	case e.Kind == brew.EventUndo && o.Beat >= 0:
		return "taken back: " + plan.Beats[o.Beat].Name
	case e.Kind == brew.EventUndo:
		return "taken back"
	case e.Kind == brew.EventSkip:
		return "skipped: " + plan.Cues[o.Cue].Name
	case e.Kind == brew.EventZero:
		return "this is 0:00 now"
	case e.Kind == brew.EventNote && e.Source == brew.FromClock:
		return e.Text
	case e.Kind == brew.EventNote:
		return "noted"
	case e.Kind == brew.EventStop && e.Text != "":
		return "stopped: " + e.Text
	case e.Kind == brew.EventStop:
		return "stopped"
	case e.Kind == brew.EventFinish:
		return "finished"
	}
	return ""
}

// debrief says where the time went.
func (c *caller) debrief() {
	d := drift.Conditions{Kind: drift.Kind(c.opt.Kind), Speed: c.opt.Speed}.Of(c.lane)
	for _, r := range d.Rows {
		c.say("%s: %s", r.Name, r.Word())
	}
	for _, l := range d.Lengths {
		c.say("%s took %s", l.Name, l.Word())
	}
	if d.Contact != nil {
		c.say("contact %s", d.Contact.Word())
	}
	c.say("%s", d.Sentence.Text)
	for _, chore := range c.lane.Plan().Afterwards {
		c.say("afterwards: %s", chore.Do)
	}
}

// measure asks for the readings, as long as there is input.
func (c *caller) measure() {
	var said brew.Correction
	for _, ask := range live.Readings {
		for taken := false; !taken && c.lines != nil; {
			c.say("%s (an empty line leaves it out)", ask.Prompt)
			line, open := <-c.lines
			if !open {
				c.lines = nil
				break
			}
			err := ask.Take(&said, line)
			if taken = err == nil; !taken {
				c.say("%s", err)
			}
		}
	}
	c.reading = said.Of(c.reading)
	if c.opt.Recorder == nil || c.reading.Empty() {
		return
	}
	if c.unread = c.opt.Recorder.Measure(said); c.unread != nil {
		c.say("not saved: %s", c.unread)
	}
}
