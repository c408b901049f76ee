package stage

import (
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/tui/draw"
)

// LaneOf returns how a lane is drawn whose own 0:00 stands at zero on the
// picture's clock. hollow says which beats' marks the record does not hold
// yet.
func LaneOf(lane brew.Lane, zero time.Duration, hollow func(beat int) bool) draw.Lane {
	var out draw.Lane
	plan := lane.Plan()
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
			out.Marks = append(out.Marks, markOf(lane, n, zero, hollow(n)))
		}
	}
	return out
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

// markOf returns where a beat fell. It is hollow until the record holds it.
func markOf(lane brew.Lane, n int, zero time.Duration, hollow bool) draw.Mark {
	beat, state := lane.Plan().Beats[n], lane.Beat(n)
	m := draw.Mark{At: zero + state.At(), Due: zero + state.Called, Early: beat.Window.Early, Late: beat.Window.Late}
	switch state.Status {
	case brew.Marked:
		m.Hollow = hollow
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

// Judged tells how a beat was marked, with a box that fills when the record
// holds it. lead says whose it is. A long name is cut, so that the figure is
// not.
func Judged(lane brew.Lane, beat int, lead string, hollow bool) Cut {
	box := "[x] "
	if hollow {
		box = "[ ] "
	}
	w := drift.OfMark(lane, beat)
	return Cut{box, Lead(lead) + lane.Plan().Beats[beat].Name, " " + w.String(), VerdictRole(w.Cup)}
}

// VerdictRole is how a verdict is coloured.
func VerdictRole(v drift.Verdict) draw.Role {
	switch v {
	case drift.OnTime, drift.AsWritten:
		return draw.OnTime
	case drift.Late, drift.Longer:
		return draw.Late
	case drift.Early, drift.Shorter:
		return draw.Early
	}
	return draw.Plain
}
