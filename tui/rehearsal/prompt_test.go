package rehearsal_test

import (
	"strings"
	"testing"

	"barline/brew"
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
