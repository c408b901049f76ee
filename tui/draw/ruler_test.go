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

// The day of a service ends at midnight; a brew's own clock goes on.
func TestTheRulerOfADayBeginsAnewAtMidnight(t *testing.T) {
	p := draw.Picture{Now: 24*time.Hour + 10*60*second, Column: 6 * second, Rolling: true, Day: true, Lanes: []draw.Lane{{}}}
	if row := strings.Join(lines(draw.Timeline(100, 3, p, false)), "\n"); strings.Contains(row, "24:") || !strings.Contains(row, "0:10:00") || !strings.Contains(row, "0:14:00") {
		t.Errorf("behind midnight:\n%s", row)
	}
	p.Now = 25*time.Hour + 60*second
	if row := strings.Join(lines(draw.Timeline(100, 3, p, false)), "\n"); strings.Contains(row, "25:") || !strings.Contains(row, "1:02:00") {
		t.Errorf("an hour later:\n%s", row)
	}
	p.Now = 23*time.Hour + 59*60*second
	if row := strings.Join(lines(draw.Timeline(100, 3, p, false)), "\n"); !strings.Contains(row, "0:01:00") {
		t.Errorf("what comes behind midnight, before it:\n%s", row)
	}
	p = draw.Picture{Still: true, From: 24 * time.Hour, To: 25 * time.Hour, Lanes: []draw.Lane{{}}}
	if row := strings.Join(lines(draw.Timeline(100, 3, p, false)), "\n"); !strings.Contains(row, "24:10:00") {
		t.Errorf("a brew of a day:\n%s", row)
	}
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
