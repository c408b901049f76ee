package probe_test

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"barline/tui/draw"
	"barline/tui/probe"
)

// terminal is one that answers where its cursor is, after a while.
type terminal struct {
	asker   *probe.Asker
	wrote   bytes.Buffer
	delay   time.Duration
	silent  bool
	columns func(sign string) int // how wide it draws a text
}

// question is what asks for the cursor's place, with what was written there.
var question = regexp.MustCompile(`\x1b7\x1b\[(\d+);(\d+)H([^\x1b]*)\x1b\[6n`)

func (s *terminal) Write(b []byte) (int, error) {
	s.wrote.Write(b)
	for _, m := range question.FindAllSubmatch(b, -1) {
		row, _ := strconv.Atoi(string(m[1]))
		column, _ := strconv.Atoi(string(m[2]))
		if s.columns != nil {
			column += s.columns(string(m[3]))
		}
		if !s.silent {
			answer := fmt.Sprintf("\x1b[%d;%dR", row, column)
			time.AfterFunc(s.delay, func() { s.asker.Sift([]byte(answer)) })
		}
	}
	return len(b), nil
}

// onTerminal runs a test against a terminal in simulated time.
func onTerminal(t *testing.T, s *terminal, test func(t *testing.T, now func() time.Duration)) {
	synctest.Test(t, func(t *testing.T) {
		began := time.Now()
		now := func() time.Duration { return time.Since(began) }
		s.asker = probe.NewAsker(s, now)
		test(t, now)
	})
}

func TestTheDelayCountsFromTheMomentToTheAnswer(t *testing.T) {
	s := &terminal{delay: 3 * time.Millisecond}
	onTerminal(t, s, func(t *testing.T, now func() time.Duration) {
		var before time.Duration
		for n := range 4 {
			text := fmt.Sprintf("moment %d", n)
			q := s.asker.Moment(n, before, text, 80)
			if q.Due != now() || q.Due <= before {
				t.Fatalf("moment %d is due at %s, and came at %s", n, q.Due, now())
			}
			s.asker.Write([]byte("a frame without it"))
			time.Sleep(9 * time.Millisecond) // the frame takes its time
			s.asker.Write([]byte("a frame with " + text))
			took, how := q.Wait()
			if how != probe.Answered || took != 12*time.Millisecond {
				t.Errorf("took %s, %d; want 12 ms", took, how)
			}
			before = q.Due
		}
	})
	if got := strings.Count(s.wrote.String(), "\x1b[6n"); got != 4 {
		t.Errorf("%d questions went out, want 4", got)
	}
	if !strings.Contains(s.wrote.String(), "a frame with moment 1\x1b7\x1b[2;2H\x1b[6n\x1b8") {
		t.Errorf("the question does not stand right behind its frame: %q", s.wrote.String())
	}
}

func TestMomentsAreAGapApartWhateverTheAnswersTake(t *testing.T) {
	s := &terminal{}
	onTerminal(t, s, func(t *testing.T, now func() time.Duration) {
		first := s.asker.Moment(0, now(), "a", 80)
		time.Sleep(20 * time.Millisecond)
		second := s.asker.Moment(1, first.Due, "b", 80)
		if gap := second.Due - first.Due; gap != 137*time.Millisecond {
			t.Errorf("a gap of %s", gap)
		}
		time.Sleep(400 * time.Millisecond) // too late for the next one as planned
		if third := s.asker.Moment(2, second.Due, "c", 80); third.Due <= second.Due+400*time.Millisecond {
			t.Errorf("the third is due at %s, in the past", third.Due)
		}
	})
}

func TestATerminalThatDoesNotAnswerIsGivenUpOn(t *testing.T) {
	s := &terminal{silent: true}
	onTerminal(t, s, func(t *testing.T, now func() time.Duration) {
		q := s.asker.Moment(0, 0, "moment", 80)
		s.asker.Write([]byte("moment"))
		began := now()
		if _, how := q.Wait(); how != probe.Silent || now()-began != probe.Patience {
			t.Errorf("%d after %s, want %d after a second", how, now()-began, probe.Silent)
		}
		q = s.asker.Moment(1, q.Due, "never shown", 80)
		if _, how := q.Wait(); how != probe.Unasked {
			t.Errorf("%d, want %d", how, probe.Unasked)
		}
		if w := s.asker.Widths(probe.Signs(), 24); len(w.Signs) != 0 || w.How != probe.Silent {
			t.Errorf("widths %v of a silent terminal", w)
		}
	})
}

// An answer that comes when it is no longer waited for is neither a key nor
// taken for the answer to the next question.
func TestALateAnswerIsNobodys(t *testing.T) {
	s := &terminal{delay: probe.Patience + 100*time.Millisecond}
	onTerminal(t, s, func(t *testing.T, now func() time.Duration) {
		q := s.asker.Moment(0, 0, "first", 80)
		s.asker.Write([]byte("first"))
		q.Wait()
		s.delay = 100 * time.Millisecond
		q = s.asker.Moment(1, q.Due, "second", 80)
		s.asker.Write([]byte("second")) // the first answer comes while this one is waited for
		if took, how := q.Wait(); how != probe.Answered || took != 100*time.Millisecond {
			t.Errorf("took %s, %d; want 100 ms", took, how)
		}
	})
}

func TestWidthsAreAsTheTerminalDrawsThem(t *testing.T) {
	wide := map[string]int{"█": 2, "●": 2}
	s := &terminal{delay: time.Millisecond, columns: func(sign string) int { return max(wide[sign], 1) }}
	onTerminal(t, s, func(t *testing.T, _ func() time.Duration) {
		w := s.asker.Widths([]rune("█░●▁"), 24)
		want := []probe.Sign{{'█', 2}, {'░', 1}, {'●', 2}, {'▁', 1}}
		if fmt.Sprint(w.Signs) != fmt.Sprint(want) || w.How != probe.Answered {
			t.Errorf("%v, want %v", w.Signs, want)
		}
		if got, want := w.String(), "not as they are drawn, in cells: U+2588 2, U+25CF 2 (4 signs asked)"; got != want {
			t.Errorf("%q, want %q", got, want)
		}
	})
	// Each sign is written, asked about and blanked in one write, and the
	// cursor is where it was.
	if got := s.wrote.String(); !strings.HasPrefix(got, "\x1b7\x1b[23;1H█\x1b[6n\x1b[23;1H        \x1b8") {
		t.Errorf("%q", got)
	}
}

func TestTheSignsAreThoseThatTheProgramDraws(t *testing.T) {
	listed := map[rune]bool{}
	for _, sign := range probe.Signs() {
		listed[sign] = true
	}
	for name, c := range map[string]*draw.Canvas{
		"timeline": draw.Timeline(80, 16, picture(), false),
		"small":    draw.Timeline(60, 4, picture(), false),
		"figures":  draw.Figures("0123456789 ABCDEFGHIJKLMNOPQRSTUVWXYZ .:+-%/? gs", draw.Tall, draw.Strong, false),
		"short":    draw.Figures("0123456789 ABCDEFGHIJKLMNOPQRSTUVWXYZ .:+-%/? gs", draw.Short, draw.Strong, false),
		"meter":    draw.Meter(9, 0.31, 0.8, draw.Water, false),
	} {
		for _, r := range strings.Join(c.Lines(), "") {
			if r > '~' && !listed[r] {
				t.Errorf("the %s is drawn with %c, which is not listed", name, r)
			}
		}
	}
	if len(probe.Signs()) != len(listed) {
		t.Error("a sign is listed twice")
	}
}

// picture has a cue, a mark and a level of every kind.
func picture() draw.Picture {
	lane := draw.Lane{Name: "lane"}
	for i := range 12 {
		at := time.Duration(i) * 10 * time.Second
		lane.Spans = append(lane.Spans, draw.Span{Start: at, End: at + 7*time.Second, Busy: i%2 == 0, Label: "cue"})
		lane.Marks = append(lane.Marks, draw.Mark{At: at, Due: at, Early: time.Second, Late: time.Second, State: draw.MarkState(i % 6), Hollow: i > 5})
		lane.Stair = append(lane.Stair, draw.Level{At: at, Grams: float64(i * i)})
	}
	return draw.Picture{Lanes: []draw.Lane{lane}, Now: 55 * time.Second}
}
