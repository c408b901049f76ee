package routine

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"barline/brew"
)

// Of returns what became of the take that was a run.
func Of(t Take, r Run) Result {
	out := Result{Take: t, Plan: r.plan, Options: r.opt, Partial: r.Partial(), Ending: r.ending, Began: r.Begins(), Ended: r.now}
	if r.ending != Running {
		out.Ended = r.endedAt
	}
	out.Penalty = r.plan.Rules.Penalty(r.plan.Limit, out.Length())
	if r.Partial() {
		out.Penalty = Penalty{}
	}
	out.Marks = r.marks()
	out.Sections = r.sections(out.Marks)
	for _, m := range out.Marks {
		if sum := out.sum(m.Voice); sum != nil && m.Known {
			sum.add(m.Slip())
		}
	}
	return out
}

func (r *Result) sum(v Voice) *Sum {
	switch v {
	case OfTalk:
		return &r.Talk
	case OfHands:
		return &r.Hands
	case OfBed:
		return &r.Bed
	}
	return nil
}

// marks returns all that can be marked, in order of the written times.
func (r Run) marks() (out []Mark) {
	for i := range r.plan.Cups {
		out = append(out, r.cupMarks(i)...)
	}
	out = append(out, r.laneMarks(r.plan.HandsLane(), "")...)
	out = append(out, r.lineMarks()...)
	out = append(out, r.endMark())
	for i := range out {
		out[i].Section = r.plan.sectionAt(out[i])
	}
	slices.SortStableFunc(out, func(a, b Mark) int { return cmp.Compare(a.Written, b.Written) })
	return out
}

// sectionAt returns the section that a mark is written in: a line's own, else
// the one that is on; the end of the last belongs to it.
func (p *Plan) sectionAt(m Mark) int {
	if m.Voice == OfTalk {
		return m.Section
	}
	for i, s := range p.Sections {
		if m.Written < s.End {
			return i
		}
	}
	return len(p.Sections) - 1
}

// cupMarks returns the start of a brew and its beats.
func (r Run) cupMarks(i int) []Mark {
	c, lane := r.plan.Cups[i], r.lanes.Lane(i)
	start := Mark{Key: c.ID + ": start", Name: "start of " + c.ID, Voice: OfHands, Written: c.Zero, Called: c.Zero}
	if lane.Started() && lane.From() == 0 {
		start.Known, start.Marked = true, lane.Zero()
	}
	return append([]Mark{start}, r.laneMarks(i, c.ID+": ")...)
}

// laneMarks returns the asked beats of a lane; their keys begin so.
func (r Run) laneMarks(i int, of string) (out []Mark) {
	lane, plan := r.lanes.Lane(i), r.plan.lane(i)
	for n, b := range plan.Beats {
		if !b.Asked {
			continue
		}
		s, written := lane.Beat(n), r.written(r.plan, i, n)
		m := Mark{Key: of + b.Key, Name: of + b.Name, Voice: OfHands, Written: written, Called: written}
		if b.Owner == brew.Bed {
			m.Voice = OfBed
		}
		if lane.Started() {
			m.Called = lane.Zero() + s.Called
		}
		if s.Status == brew.Marked {
			m.Known, m.Marked = true, lane.Zero()+s.Marked
		}
		out = append(out, m)
	}
	return out
}

// lineMarks returns the lines of the run.
func (r Run) lineMarks() (out []Mark) {
	first, end := r.opt.lines(r.plan)
	for k := first; k < end; k++ {
		l := r.plan.Lines[k]
		m := Mark{Key: fmt.Sprintf("line %d", k+1), Name: l.Name(k), Voice: OfTalk, Section: l.Section, Written: l.Start, Called: l.Start}
		if n := k - first; n < len(r.lines) {
			m.Called, m.Marked, m.Known = r.lines[n].called, r.lines[n].begun, r.lines[n].marked
		}
		out = append(out, m)
	}
	return out
}

// Name returns what line k of a plan is called: its first words.
func (l Line) Name(k int) string { return partName(k, Part{Say: l.Words}) }

// endMark returns the call of time at the end.
func (r Run) endMark() Mark {
	m := Mark{Key: "time", Name: "call of time", Voice: OfCall, Written: r.Due(), Called: max(r.Due(), r.callDue(r.now))}
	if r.ending == Finished {
		m.Known, m.Marked = true, r.endedAt
	}
	return m
}

// sections returns how long each section took: from the start of its first
// line to that of the next section's, the last until time was called.
func (r Run) sections(marks []Mark) []Timed {
	out := make([]Timed, len(r.plan.Sections))
	for i, s := range r.plan.Sections {
		out[i] = Timed{Name: s.Name, Written: s.End - s.Start}
		start, begun := r.sectionStart(i)
		end, ended := r.sectionStart(i + 1)
		if i == r.opt.To {
			end, ended = r.endedAt, r.ending == Finished
		}
		if begun && ended && i >= r.opt.From && i <= r.opt.To {
			out[i].Took, out[i].Known = end-start, true
		}
	}
	for _, m := range marks {
		if m.Known && (m.Voice == OfTalk || m.Voice == OfHands) {
			out[m.Section].Slip.add(m.Slip())
		}
	}
	return out
}

// sectionStart returns when a section began, and whether it did.
func (r Run) sectionStart(i int) (time.Duration, bool) {
	if i == r.opt.From {
		return r.Begins(), r.started
	}
	if i < r.opt.From || i > r.opt.To {
		return 0, false
	}
	first, _ := r.opt.lines(r.plan)
	n := r.plan.Sections[i].First - first
	if n >= len(r.lines) {
		return 0, false
	}
	return r.lines[n].begun, true
}
