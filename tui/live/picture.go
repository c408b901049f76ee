package live

import (
	"strconv"
	"time"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/stage"
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
	out := stage.LaneOf(lane, p.own(i, 0), func(beat int) bool { return p.record.IsHollow(i, beat) })
	out.Name, out.Floating = p.name(i), !lane.Started() && p.timeline.Lanes() > 1
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
