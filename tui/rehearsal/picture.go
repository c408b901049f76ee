package rehearsal

import (
	"slices"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/tui/draw"
	"barline/tui/stage"
)

// picture returns the lanes of the cups, of the hands and of what is said on
// the routine's clock.
func (p Page) picture(c cast) draw.Picture {
	pic := draw.Picture{Now: p.at()}
	for i, cup := range p.opt.Plan.Cups {
		pic.Lanes = append(pic.Lanes, p.lane(i, cup.Zero))
	}
	pic.Lanes = append(pic.Lanes, p.lane(p.opt.Plan.HandsLane(), 0), p.talkLane())
	if chosen := c.lane(); chosen >= 0 {
		pic.Lanes[chosen].Chosen = true
	}
	return pic
}

// lane returns how a cup or the hands are drawn. A cup that has not begun goes
// as it is planned: one that is awaited as if it started now.
func (p Page) lane(i int, zero time.Duration) draw.Lane {
	lane := p.lanes.Lane(i)
	begun := lane.Started()
	switch {
	case begun:
		zero = lane.Zero()
	case i < p.opt.Plan.HandsLane():
		lane = p.opt.Plan.Cups[i].AsPlanned()
		if p.runs(zero) {
			zero = max(zero, p.at())
		}
	}
	out := stage.LaneOf(lane, zero, func(beat int) bool { return p.record.IsHollow(i, beat) })
	out.Name, out.Planned = p.laneName(i), !begun
	if i == p.opt.Plan.HandsLane() {
		for n := range out.Spans {
			out.Spans[n].Chore, out.Spans[n].Label = true, shortTask(lane.Plan().Cues[n])
		}
	}
	return out
}

// shortTask is a task of the hands in one word.
func shortTask(c brew.Cue) string {
	word, _, _ := strings.Cut(strings.ToLower(c.Prompt), " ")
	return word
}

// said is a line on the clock: as it went, or as things stand.
type said struct {
	number     int
	start, end time.Duration
	marked     bool
}

// lines returns the lines of the take. Those that have not begun follow each
// other as they are written.
func (p Page) lines() (out []said) {
	plan := p.opt.Plan
	shift := p.look.NextIn + p.look.At
	if p.look.NextLine >= 0 {
		shift -= plan.Lines[p.look.NextLine].Start
	}
	for _, m := range routine.Of(routine.Take{}, p.run).Marks {
		if m.Voice != routine.OfTalk {
			continue
		}
		k := slices.IndexFunc(plan.Lines, func(l routine.Line) bool { return l.Section == m.Section && l.Start == m.Written })
		if k < 0 {
			continue
		}
		start := m.Called
		switch {
		case m.Known:
			start = m.Marked
		case p.look.NextLine >= 0 && k >= p.look.NextLine:
			start = plan.Lines[k].Start + shift
		}
		out = append(out, said{k, start, start + plan.Lines[k].Length, m.Known})
	}
	return out
}

// talkLane returns how what is said is drawn: words solid, silence left out.
func (p Page) talkLane() draw.Lane {
	out := draw.Lane{Name: p.laneName(p.opt.Plan.TalkLane())}
	for _, l := range p.lines() {
		line := p.opt.Plan.Lines[l.number]
		if line.Words != "" {
			out.Spans = append(out.Spans, draw.Span{Start: l.start, End: l.end, Busy: true, Chore: true, Label: line.Name(l.number)})
		}
		if l.marked {
			out.Marks = append(out.Marks, draw.Mark{At: l.start, Due: line.Start, State: draw.Timely, Hollow: p.record.IsHollow(p.opt.Plan.TalkLane(), l.number)})
		}
	}
	return out
}
