package live

import (
	"strconv"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/tui/draw"
)

// picture returns the timeline as it stands at a moment of its clock. All of
// it is on the clock that the page shows.
func (p Page) picture(at time.Duration) draw.Picture {
	pic := draw.Picture{Now: p.clock(at), Still: p.phase == debriefing}
	for i := range p.timeline.Lanes() {
		pic.Lanes = append(pic.Lanes, p.lane(i))
	}
	return pic
}

// Still returns the timeline of a plan that nobody brews yet.
func Still(plan *brew.Plan) draw.Picture {
	p := New(Options{Plans: []*brew.Plan{plan}})
	pic := p.picture(0)
	pic.Still = true
	return pic
}

func (p Page) lane(i int) draw.Lane {
	lane := p.timeline.Lane(i)
	plan, zero := lane.Plan(), p.own(i, 0)
	out := draw.Lane{Name: p.name(i), Floating: !lane.Started() && p.timeline.Lanes() > 1}
	level, end := brew.Mass(0), plan.End
	for n, cue := range plan.Cues {
		start, finish := lane.Span(n)
		end = max(end, finish)
		label := cue.Label
		if label == "" {
			label = string(cue.Action)
		}
		out.Spans = append(out.Spans, draw.Span{Start: zero + start, End: zero + finish, Busy: cue.Hands == brew.Busy, Label: label})
		if cue.Water != level {
			out.Stair = append(out.Stair, draw.Level{At: zero + start, Grams: level.Grams()}, draw.Level{At: zero + finish, Grams: cue.Water.Grams()})
			level = cue.Water
		}
	}
	if len(out.Stair) > 0 {
		out.Stair = append(out.Stair, draw.Level{At: zero + end, Grams: level.Grams()})
	}
	if how, at, _ := lane.Ending(); how == brew.Stopped {
		out.Stair = upTo(out.Stair, zero+at)
	}
	for n, beat := range plan.Beats {
		if beat.Asked {
			out.Marks = append(out.Marks, p.mark(i, n, zero))
		}
	}
	return out
}

// name returns what a lane is called, "" where there is but one.
func (p Page) name(lane int) string {
	switch {
	case p.timeline.Lanes() == 1:
		return ""
	case lane < len(p.opt.Names) && p.opt.Names[lane] != "":
		return p.opt.Names[lane]
	}
	return "lane " + strconv.Itoa(lane+1)
}

// upTo cuts the water off where a brew was stopped: no more was poured.
func upTo(stair []draw.Level, end time.Duration) []draw.Level {
	for i, l := range stair {
		if l.At <= end {
			continue
		}
		if i == 0 {
			return nil
		}
		from := stair[i-1]
		share := float64(end-from.At) / float64(l.At-from.At)
		return append(stair[:i:i], draw.Level{At: end, Grams: from.Grams + share*(l.Grams-from.Grams)})
	}
	return stair
}

// mark returns where a beat fell. It is hollow until the record holds it.
func (p Page) mark(i, n int, zero time.Duration) draw.Mark {
	lane := p.timeline.Lane(i)
	beat, state := lane.Plan().Beats[n], lane.Beat(n)
	m := draw.Mark{At: zero + state.At(), Due: zero + state.Called, Early: beat.Window.Early, Late: beat.Window.Late}
	switch state.Status {
	case brew.Marked:
		m.Hollow = p.isHollow(i, n)
		m.State = markState(drift.Judge(state.Marked-beat.Due, beat.Window))
	case brew.Unmarked:
		m.State = draw.Unmarked
	case brew.Skipped, brew.Passed:
		m.State = draw.Skipped
	}
	return m
}

// markState is how the timeline shows a verdict on a beat's drift.
func markState(v drift.Verdict) draw.MarkState {
	switch v {
	case drift.Early:
		return draw.TooEarly
	case drift.Late:
		return draw.TooLate
	}
	return draw.Timely
}
