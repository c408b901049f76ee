package draw_test

import (
	"fmt"
	"strings"
	"testing"

	"barline/tui/draw"
)

func TestEveryMarkHasItsShape(t *testing.T) {
	for _, ascii := range []bool{false, true} {
		for _, height := range []int{1, 5} { // on the bar, and in a row of their own
			p := everyMark()
			c := draw.Timeline(100, height, p, ascii)
			seen := map[rune]string{}
			for _, m := range p.Lanes[0].Marks {
				name := fmt.Sprintf("state %d, hollow %v", m.State, m.Hollow)
				y := 0
				if height > 1 {
					y = 1 // ruler below, labels after the marks
				}
				cell := c.At(int(m.At/second), y)
				if m.State == draw.Pending && height == 1 {
					if cell.Rune != 0 {
						t.Errorf("a pending mark stands on the bar: %q", cell.Rune)
					}
					continue
				}
				if cell.Rune == 0 {
					t.Fatalf("%s is not drawn (ascii %v, height %d)", name, ascii, height)
				}
				if twin, ok := seen[cell.Rune]; ok && m.State != draw.Pending && m.State < draw.Unmarked {
					t.Errorf("%s looks like %s: %q", name, twin, cell.Rune)
				}
				seen[cell.Rune] = name
				want := map[draw.MarkState]draw.Role{draw.Timely: draw.OnTime, draw.TooEarly: draw.Early, draw.TooLate: draw.Late}[m.State]
				if want == draw.Plain {
					want = draw.Faint
				}
				if cell.Role != want {
					t.Errorf("%s has role %d, want %d", name, cell.Role, want)
				}
			}
			if want := 9; height > 1 && len(seen) != want { // three states of two shapes, three of one
				t.Errorf("%d shapes, want %d", len(seen), want)
			}
		}
	}
}

func TestMarkStandsWhereItFellOverItsWindow(t *testing.T) {
	p := draw.Picture{Still: true, To: 100 * second, Lanes: []draw.Lane{{Marks: []draw.Mark{
		{At: 57 * second, Due: 50 * second, Early: 2 * second, Late: 4 * second, State: draw.TooLate},
	}}}}
	row := lines(draw.Timeline(100, 5, p, false))[1]
	if want := strings.Repeat(" ", 48) + "▁▁▁▁▁▁▁  ►"; strings.TrimRight(row, " ") != want {
		t.Errorf("got %q, want %q", row, want)
	}
}
