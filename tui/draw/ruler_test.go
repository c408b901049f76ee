package draw_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"barline/tui/draw"
)

// The figures of the ruler stand at sensible distances and apart.
func TestRulerFiguresStandApartAtRoundTimes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := time.Duration(rapid.IntRange(-30, 7200).Draw(t, "from")) * second
		length := time.Duration(rapid.IntRange(1, 20000).Draw(t, "length")) * second
		w := rapid.IntRange(1, 300).Draw(t, "width")
		p := draw.Picture{Still: true, From: from, To: from + length, Lanes: []draw.Lane{{}}}
		row := lines(draw.Timeline(w, 2, p, false))[1]
		for _, place := range regexp.MustCompile(`[-0-9:]+`).FindAllStringIndex(row, -1) {
			field := row[place[0]:place[1]]
			seconds := parse(t, field)
			if seconds%5 != 0 {
				t.Fatalf("the ruler says %q:\n%s", field, row)
			}
			want := int((int64(seconds)*int64(second) - int64(from)) * int64(w) / int64(length))
			if got := place[0]; got != want {
				t.Fatalf("%q stands in column %d, want %d:\n%s", field, got, want, row)
			}
		}
		if w >= 45 && length >= 60*second && !strings.Contains(row, ":") {
			t.Fatalf("%d columns of %v have no figure: %q", w, length, row)
		}
	})
}

func parse(t *rapid.T, clock string) int {
	seconds, sign := 0, 1
	if strings.HasPrefix(clock, "-") {
		clock, sign = clock[1:], -1
	}
	for _, part := range strings.Split(clock, ":") {
		var n int
		if _, err := fmt.Sscanf(part, "%d", &n); err != nil {
			t.Fatalf("%q is no clock", clock)
		}
		seconds = seconds*60 + n
	}
	return sign * seconds
}
