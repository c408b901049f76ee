package draw_test

import (
	"time"

	"barline/tui/draw"
)

const second = time.Second

// press is a brew of one lane at 1:12, in the middle of its second pour, with
// a mark of every kind.
func press() draw.Picture {
	return draw.Picture{
		Now: 48 * second,
		Lanes: []draw.Lane{{
			Spans: []draw.Span{
				{Start: 0, End: 8 * second, Busy: true, Label: "bloom"},
				{Start: 8 * second, End: 12 * second, Busy: true, Label: "swirl"},
				{Start: 12 * second, End: 36 * second, Label: "wait"},
				{Start: 36 * second, End: 52 * second, Busy: true, Label: "second pour"},
				{Start: 52 * second, End: 56 * second, Busy: true, Label: "seal"},
				{Start: 56 * second, End: 58 * second, Busy: true, Label: "lift"},
				{Start: 58 * second, End: 100 * second, Label: "steep"},
				{Start: 100 * second, End: 103 * second, Busy: true, Label: "open"},
				{Start: 103 * second, End: 108 * second, Busy: true, Label: "stir"},
				{Start: 108 * second, End: 112 * second, Busy: true, Label: "seal again"},
				{Start: 112 * second, End: 140 * second, Busy: true, Label: "press"},
			},
			Marks: []draw.Mark{
				mark(8, 8, draw.Timely), mark(41, 36, draw.TooLate),
				mark(52, 52, draw.Pending), mark(112, 112, draw.Pending), mark(140, 140, draw.Pending),
			},
			Stair: []draw.Level{{0, 0}, {8 * second, 50}, {36 * second, 50}, {52 * second, 210}, {140 * second, 210}},
		}},
	}
}

func mark(at, due int, state draw.MarkState) draw.Mark {
	return draw.Mark{At: time.Duration(at) * second, Due: time.Duration(due) * second, Early: 3 * second, Late: 3 * second, State: state}
}

// round is a service of six lanes of which the last floats.
func round() draw.Picture {
	p := draw.Picture{Now: 3*time.Minute + 20*second}
	names := []string{"press 1", "press 2", "cone", "flat bed", "pot", "talk"}
	for i, name := range names {
		l := press().Lanes[0]
		shift := time.Duration(i) * 50 * second
		l.Name, l.Floating = name, i == 5
		for j := range l.Spans {
			l.Spans[j].Start += shift
			l.Spans[j].End += shift
		}
		for j := range l.Marks {
			l.Marks[j].At += shift
			l.Marks[j].Due += shift
		}
		for j := range l.Stair {
			l.Stair[j].At += shift
		}
		p.Lanes = append(p.Lanes, l)
	}
	return p
}

// everyMark is a lane with a mark of every state, ten seconds apart.
func everyMark() draw.Picture {
	p := draw.Picture{Still: true, To: 100 * second, Lanes: []draw.Lane{{}}}
	for state := draw.Pending; state <= draw.Skipped; state++ {
		for i, hollow := range []bool{false, true} {
			at := 20*int(state)/2 + 5*i + 10
			m := mark(at, at, state)
			m.Hollow = hollow
			p.Lanes[0].Marks = append(p.Lanes[0].Marks, m)
		}
	}
	return p
}
