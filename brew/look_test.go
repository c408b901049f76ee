package brew_test

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/brew"
)

func TestEveryPlanAnswersAtEveryMoment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		span := func(i int) (start, end int64) { return int64(p.Cues[i].Start), int64(p.Cues[i].End) }
		for range 5 {
			at := moment(t, "at", 0, p.End+5*s)
			sameMoment(t, p, p.At(at), span)
			truthful(t, p.At, edgeTimes(p, span), at)
		}
	})
}

// sameMoment checks what is on, beside it and next against the spans.
func sameMoment(t *rapid.T, p *brew.Plan, m brew.Moment, span func(int) (start, end int64)) {
	t.Helper()
	on, beside, next, latest := -1, -1, -1, -1
	for i, c := range p.Cues {
		start, end := span(i)
		at := int64(m.At)
		if start <= at {
			latest = i
		}
		switch {
		case start > at:
			if next < 0 || start < func() int64 { s, _ := span(next); return s }() {
				next = i
			}
		case at >= end:
		case c.Hands == brew.Busy:
			if on >= 0 && p.Cues[on].Hands == brew.Free {
				beside = on
			}
			on = i
		case on >= 0 && p.Cues[on].Hands == brew.Busy:
			beside = i
		default:
			beside, on = on, i
		}
	}
	if m.On != on || m.Beside != beside || m.Next != next {
		t.Fatalf("at %s on %d, beside %d, next %d, want %d, %d, %d", m.At, m.On, m.Beside, m.Next, on, beside, next)
	}
	if next >= 0 {
		if start, _ := span(next); int64(m.At+m.NextIn) != start {
			t.Fatalf("at %s the next is in %s, but starts at %s", m.At, m.NextIn, time.Duration(start))
		}
	}
	weighs(t, p, m, latest, span)
}

// weighs checks the scale's reading and how far the cue that is on should be.
func weighs(t *rapid.T, p *brew.Plan, m brew.Moment, latest int, span func(int) (start, end int64)) {
	flows := m.On >= 0 && (p.Cues[m.On].Action == brew.Pour || p.Cues[m.On].Action == brew.Bypass && p.Cues[m.On].OnScale)
	if !flows {
		if latest >= 0 && (m.HasReading != p.Cues[latest].OnScale || m.Reading != p.Cues[latest].Scale) || latest < 0 && m.HasReading || m.ToGo != 0 {
			t.Fatalf("at %s the scale reads %s, %s to go", m.At, m.Reading, m.ToGo)
		}
	}
	if m.On < 0 {
		return
	}
	start, end := span(m.On)
	share := float64(int64(m.At)-start) / float64(end-start)
	if m.Done < 0 || m.Done >= 1 || m.Done != share || int64(m.At+m.Left) != end {
		t.Fatalf("at %s %v is done, %s left", m.At, m.Done, m.Left)
	}
	if c := p.Cues[m.On]; flows {
		amount := c.Scale - c.From
		poured := brew.Mass(share * float64(amount))
		late := amount*brew.Mass(200*time.Millisecond)/brew.Mass(end-start) + g + 1 // what flows in between two readings
		if read := m.Reading - c.From; !m.HasReading || read%g != 0 || read > poured+1 || read < poured-late || m.ToGo != c.Scale-m.Reading {
			t.Fatalf("at %s %s of %s should be poured, reading %s, to go %s", m.At, poured, amount, m.Reading, m.ToGo)
		}
	}
}

func edgeTimes(p *brew.Plan, span func(int) (start, end int64)) (edges []time.Duration) {
	for i := range p.Cues {
		start, end := span(i)
		edges = append(edges, time.Duration(start), time.Duration(end))
	}
	return edges
}

// truthful checks that the picture stays until it is said to change, and that
// it changes then, or that an edge is there, or that a press goes on.
func truthful(t *rapid.T, ask func(time.Duration) brew.Moment, edges []time.Duration, at time.Duration) {
	visible := func(m brew.Moment) brew.Moment {
		m.At, m.Left, m.NextIn, m.Done, m.Changes, m.HasChange = 0, 0, 0, 0, 0, false
		return m
	}
	m := ask(at)
	until := m.Changes - 1
	if !m.HasChange {
		until = at + 1000*s
	}
	if until < at {
		t.Fatalf("at %s the next change is past, at %s", at, m.Changes)
	}
	for _, u := range []time.Duration{until, at + (until-at)/2, at + time.Duration(rapid.Int64Range(0, int64(until-at)).Draw(t, "until"))} {
		if then := ask(u); visible(then) != visible(m) {
			t.Fatalf("from %s nothing should change until %s, but at %s\n%+v\nbecomes\n%+v", at, m.Changes, u, m, then)
		}
	}
	if m.HasChange && visible(ask(m.Changes)) == visible(m) && !slices.Contains(edges, m.Changes) && ask(m.Changes).Done == m.Done {
		t.Fatalf("at %s nothing changes", m.Changes)
	}
}
