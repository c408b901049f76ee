package draw_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"barline/tui/draw"
)

// service is a rush of some lanes: two are brewed, of which one is prompted,
// the others are planned.
func service(lanes int) draw.Picture {
	p := draw.Picture{Now: 200 * second, Rolling: true}
	for i := range lanes {
		l := press().Lanes[0]
		shift := time.Duration(i)*60*second + 100*second
		for j := range l.Spans {
			l.Spans[j].Start += shift
			l.Spans[j].End += shift
		}
		l.Spans = append([]draw.Span{{Start: shift - 30*second, End: shift - 10*second, Busy: true, Chore: true, Label: "rinse"}}, l.Spans...)
		l.Marks, l.Stair = nil, nil
		l.Name, l.Short, l.Note = fmt.Sprintf("%d guest", i+1), fmt.Sprint(i+1), fmt.Sprintf("8:%02d", 20+i)
		l.Planned, l.Chosen = i > 1, i == 1
		p.Lanes = append(p.Lanes, l)
	}
	return p
}

func TestManyLanesLookAsDrawn(t *testing.T) {
	for name, ascii := range map[string]bool{"lanes": false, "lanes-ascii": true} {
		var pictures []*draw.Canvas
		for _, lanes := range []int{1, 3, 6, 12} {
			for _, size := range [][2]int{{80, 9}, {40, 3}, {40, 1}, {200, 24}} {
				pictures = append(pictures, draw.Timeline(size[0], size[1], service(lanes), ascii))
			}
		}
		golden(t, name, pictures...)
	}
}

// The lane to look at is known by its shape, without any colour: a sign before
// its name, and a bar that is twice as high.
func TestTheChosenLaneIsKnownByItsShape(t *testing.T) {
	rows := lines(draw.Timeline(80, 5, service(3), false))
	chosen, other := rows[2], rows[1]
	if !strings.HasPrefix(chosen, ">2 guest") || !strings.Contains(chosen, "██") || strings.Contains(chosen, "▄▄") {
		t.Errorf("the chosen lane is %q", chosen)
	}
	if !strings.HasPrefix(other, " 1 guest") || !strings.Contains(other, "▄▄") {
		t.Errorf("another lane is %q", other)
	}
	ascii := lines(draw.Timeline(80, 5, service(3), true))
	if !strings.HasPrefix(ascii[2], ">2 guest") || !strings.Contains(ascii[2], "MM") || strings.Contains(ascii[1], "MM") {
		t.Errorf("in ASCII the lanes are\n%s", strings.Join(ascii, "\n"))
	}
}

func TestPlannedLanesAreLightAndChoresLow(t *testing.T) {
	rows := lines(draw.Timeline(80, 5, service(3), false))
	if planned := rows[3]; !strings.Contains(planned, "░") || strings.Contains(planned, "▄") || strings.Contains(planned, "?") {
		t.Errorf("a planned lane is %q", planned)
	}
	if !strings.Contains(rows[3], "▂▂█▂▂") {
		t.Errorf("no chore is in %q", rows[3])
	}
}

func TestNotesStandRightOfTheirLanes(t *testing.T) {
	for y, row := range lines(draw.Timeline(80, 5, service(3), false))[1:4] {
		if want := fmt.Sprintf(" 8:2%d", y); !strings.HasSuffix(row, want) {
			t.Errorf("row %d is %q, want %q at its end", y, row, want)
		}
	}
}

// Where there is no room for all lanes, the chosen one is among those that
// are drawn, and the others are listed with what is noted of them.
func TestTheChosenLaneIsAlwaysDrawn(t *testing.T) {
	for chosen := range 12 {
		for height := 2; height < 8; height++ {
			p := service(12)
			p.Lanes[1].Chosen = false
			p.Lanes[chosen].Chosen = true
			rows := lines(draw.Timeline(80, height, p, false))
			all := strings.Join(rows[:height-1], "\n")
			if name := fmt.Sprintf(">%d guest", chosen+1); !strings.Contains(all, name) {
				t.Fatalf("%d rows: %q is not drawn:\n%s", height, name, strings.Join(rows, "\n"))
			}
			if !strings.Contains(rows[height-1], "8:") {
				t.Fatalf("%d rows: nothing is listed:\n%s", height, strings.Join(rows, "\n"))
			}
		}
	}
}

func TestInOneRowLanesAreListed(t *testing.T) {
	if got := lines(draw.Timeline(40, 1, service(3), false))[0]; strings.TrimRight(got, " ") != "1 8:20  >2 8:21  3 8:22" {
		t.Errorf("got %q", got)
	}
	if got := lines(draw.Timeline(24, 1, service(12), false))[0]; strings.TrimRight(got, " ") != "1 8:20  and 11 more" {
		t.Errorf("got %q", got)
	}
}

// A lane of which nothing is noted is empty, and is not counted.
func TestEmptyLanesAreNotListed(t *testing.T) {
	p := service(6)
	p.Lanes[0] = draw.Lane{Name: "1"}
	p.Lanes[4] = draw.Lane{Name: "5"}
	if got := strings.TrimRight(lines(draw.Timeline(60, 1, p, false))[0], " "); got != ">2 8:21  3 8:22  4 8:23  6 8:25" {
		t.Errorf("got %q", got)
	}
}

// The playhead of a rolling picture stands still within a column, and moves on
// by one.
func TestARollingPictureMovesByWholeColumns(t *testing.T) {
	for now := 0; now < 200; now++ {
		p := draw.Picture{Now: time.Duration(now) * second, Rolling: true, Column: 6 * second}
		from, to := p.Shown(60)
		if to-from != 360*second || from%(6*second) != 0 {
			t.Fatalf("at %d s from %v to %v", now, from, to)
		}
		if ahead := p.Now - from; ahead < 60*second || ahead >= 66*second {
			t.Fatalf("at %d s the playhead stands %v behind the left end", now, ahead)
		}
	}
}

func TestALaneThatFlashesIsInverse(t *testing.T) {
	p := service(3)
	p.Lanes[0].Flash = true
	if got := draw.Timeline(80, 5, p, false).At(1, 1).Role; got != draw.Inverse {
		t.Errorf("its name is in role %d", got)
	}
}
