package rehearsal_test

import (
	"strings"
	"testing"

	"barline/brew"
	"barline/brew/routine"
	"barline/tui/rehearsal"
)

func three(t testing.TB, w, h int) *player {
	return begun(t, w, h, rehearsal.Options{Plan: plan(t, "three")})
}

// Of two things that are on what began latest is prompted: here the second cup
// is due while the first, which was begun late, is still poured.
func TestWhatBeganLatestIsPrompted(t *testing.T) {
	p := three(t, 80, 24).press(" ", 70).press("f19", 79).press(" ", 79.1).wait(170)
	if s := seen(t, p.page); !s.says("left: last pour: Pour to 288 g") {
		t.Fatalf("the first cup is not poured:\n%s", s.text())
	}
	if s := seen(t, p.wait(173).page); !s.says("middle: bloom: Pour to 54 g, space at the water") {
		t.Errorf("the second cup is not prompted:\n%s", s.text())
	}
}

func TestTheStartOfABrewIsPromptedUntilItIsMarked(t *testing.T) {
	if s := seen(t, short(t, 80, 24).wait(45).page); !s.says("Pour to 40 g, space at the water") || !s.says("+25.0 s behind") {
		t.Errorf("it is not:\n%s", s.text())
	}
}

// On the smallest screen what the latest key did is told even where prompts
// need two rows.
func TestASmallScreenTellsWhatTheKeyDid(t *testing.T) {
	s := seen(t, three(t, 40, 12).press(" ", 40.3).page)
	if !s.says("[x] left has begun +0.3 s") {
		t.Errorf("it does not:\n%s", s.text())
	}
}

// The row that the voice has reached is the first of what is said, and what is
// said of it stands out no more.
func TestTheVoiceIsFollowedRowByRow(t *testing.T) {
	p, last := three(t, 80, 24), ""
	line := p.page.Run().Plan().Lines[0]
	seenRows := 0
	for at := 0.5; at < line.End().Seconds(); at++ {
		var row string
		for _, l := range seen(t, p.wait(at).page).lines {
			if strings.HasPrefix(l, "| ") {
				row = strings.TrimSpace(strings.TrimPrefix(l, "| "))
				break
			}
		}
		if row != last {
			seenRows++
			start := strings.Index(line.Words, row)
			due := float64(start) / float64(len(line.Words)) * line.Length.Seconds()
			if start < 0 || at < due-0.1 || at > due+2.5 {
				t.Errorf("%q comes at %.1f s, want %.1f", row, at, due)
			}
		}
		last = row
	}
	if seenRows < 3 {
		t.Errorf("%d rows", seenRows)
	}
}

func TestAFootSwitchMarksWhileANoteIsTyped(t *testing.T) {
	p := short(t, 80, 24).press("n", 18).write("slow", 18.5).press("pgdown", 20)
	p.wantKinds(left, brew.EventStart)
	p.write(" hand", 21).press("enter", 22)
	e := p.page.Run().Events()
	if last := e[len(e)-1]; last.Text != "slow hand" {
		t.Errorf("%+v", last)
	}
}

func TestTheEndPageTellsWhatItCosts(t *testing.T) {
	for name, c := range map[string]struct {
		at   float64
		want string
	}{
		"under the limit":   {149, "1.0 s under the limit, no penalty"},
		"on it":             {150, "0.0 s under the limit, no penalty"},
		"a second begun":    {150.2, "0.2 s over the limit: 1 point"},
		"a fraction over":   {150.04, "finished at 2:30.1, +52.0 s behind; 0.1 s over the limit: 1 point"},
		"one more fraction": {155.04, "finished at 2:35.1, +57.0 s behind; 5.1 s over the limit: 6 points"},
		"some seconds":      {157.5, "7.5 s over the limit: 8 points"},
		"past the very end": {212, "62.0 s over the limit: out"},
	} {
		t.Run(name, func(t *testing.T) {
			p := short(t, 80, 24).perform(c.at-2, 0.1).press("t", c.at)
			if s := seen(t, p.page); !s.says(c.want) {
				t.Errorf("want %q:\n%s", c.want, s.text())
			}
		})
	}
}

// A cup without water cannot be served: its start stays the prompt, and its
// serving, which is put off as time goes by, is neither prompted nor rung for
// nor drawn where it was written.
func TestWhatHasNotBegunIsNotServed(t *testing.T) {
	p := short(t, 80, 24)
	serving := p.page.Run().Plan().Hands.Cues[0]
	if serving.Prompt != "Serve left" {
		t.Fatal(serving.Prompt)
	}
	for at := 21.0; at < 140; at++ {
		before := p.page
		p.wait(at)
		if s := seen(t, p.page); !s.says("Pour to 40 g, space at the water") {
			t.Fatalf("at %g s:\n%s", at, s.text())
		}
		for _, text := range p.page.News(before) {
			if strings.Contains(text, "Serve") {
				t.Errorf("at %g s it is said: %s", at, text)
			}
		}
		if drawn := p.page.Lane(hands).Spans[0].Start; drawn < sec(at) {
			t.Fatalf("at %g s the serving is drawn at %s", at, drawn)
		}
	}
}

// Where a part begins with a cue, that is said at once.
func TestACueAtTheStartOfAPartIsSaid(t *testing.T) {
	p := opened(t, 80, 24, rehearsal.Options{Run: routine.Options{From: 1, To: 2}})
	before := p.page
	said := p.press(" ", 0).page.News(before)
	for _, text := range said {
		if strings.HasPrefix(text, "left: Pour to") {
			return
		}
	}
	t.Errorf("the pour is not among %q", said)
}

// Where a second must be complete to count, one that is not is not told as if
// it were.
func TestTheEndPageTellsCompletedSeconds(t *testing.T) {
	for at, want := range map[float64]string{
		155.98: "finished at 2:35.9, +58.0 s behind; 5.9 s over the limit: 5 points",
		156:    "finished at 2:36.0, +58.0 s behind; 6.0 s over the limit: 6 points",
		150.04: "0.0 s over the limit: 0 points",
		149.98: "finished at 2:30.0, +52.0 s behind; 0.0 s under the limit, no penalty",
	} {
		strict := *plan(t, "short")
		strict.Rules.Count = routine.Completed
		p := begun(t, 80, 24, rehearsal.Options{Plan: &strict}).perform(at-2, 0.1).press("t", at)
		if s := seen(t, p.page); !s.says(want) {
			t.Errorf("want %q:\n%s", want, s.text())
		}
	}
}
