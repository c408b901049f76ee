package live_test

import (
	"testing"

	"barline/brew"
	"barline/tui/live"
)

// A line that is left is not lost: a lone escape may be a key that came in
// pieces.
func TestWhatWasTypedOfALineThatIsLeftIsKept(t *testing.T) {
	p := pressing(t, 80, 24).press("n", 2).write("slow ket", 3).press("esc", 5)
	s := seen(t, p.page, 80, 24)
	if !s.says("put aside; n goes on with the note") {
		t.Error("it is not told where the note is")
	}
	p.press("q", 6).press("y", 7).write("the c", 8).press("esc", 9)
	p.press("n", 10).write("tle", 11).press("enter", 13)
	p.press("q", 14).press("y", 15).write("up fell", 16).press("enter", 18)
	p.wantEnding(brew.Stopped, 15, "the cup fell")
	var notes []string
	for _, e := range p.lane().Events() {
		if e.Kind == brew.EventNote {
			notes = append(notes, e.Text)
		}
	}
	if len(notes) != 1 || notes[0] != "slow kettle" {
		t.Errorf("notes %q", notes)
	}
}

func TestALineThatWasKeptIsNotThereAgain(t *testing.T) {
	p := pressing(t, 80, 24).press("n", 2).write("slow", 3).press("esc", 5).press("n", 6).press("enter", 7).press("n", 8)
	if s := seen(t, p.page, 80, 24); !s.says("note: _") {
		t.Error("the next note begins with the one before")
	}
	p.press("esc", 9)
	if s := seen(t, p.page, 80, 24); s.says("put aside") {
		t.Error("of an empty note it is told that it is kept")
	}
}

// What the clock passed while nobody looked, as in a program that was
// stopped, is not rung for.
func TestABellThatWouldComeLateDoesNotRing(t *testing.T) {
	for name, c := range map[string]struct {
		speed    float64
		from, at float64 // the machine's seconds
		want     int     // strokes
	}{
		"a cue that has just been passed":         {1, 7.5, 8.2, 2},
		"a quarter of a second ago":               {1, 7.5, 8.25, 2},
		"longer ago":                              {1, 7.5, 8.26, 0},
		"its announcement was longer ago":         {1, 30.5, 31.3, 0},
		"of several only the last is rung for":    {1, 2, 36.1, 2},
		"by the machine's clock, not the brew's":  {10, 0.75, 0.82, 2},
		"a second ago by the brew's":              {10, 0.75, 0.9, 2},
		"longer ago by it":                        {10, 0.75, 1.06, 0},
		"a start that is looked at with the rest": {1, 2, 60, 0},
	} {
		t.Run(name, func(t *testing.T) {
			strokes := 0
			opt := live.Options{Plans: []*brew.Plan{recipe(t, "press")}, Speed: c.speed, Bell: func(n int) { strokes += n }}
			p := begun(t, 80, 24, opt).wait(c.from)
			p.cmds = nil
			p.wait(c.at)
			results(p.cmds)
			if strokes != c.want {
				t.Errorf("%d strokes, want %d", strokes, c.want)
			}
		})
	}
}

// Letters that came in one piece: the same is the key, held; others are what
// an unbracketed paste looks like.
func TestLettersInOnePiece(t *testing.T) {
	p := pressing(t, 80, 24).press("zz", 4)
	if k := p.kinds(); k[brew.EventZero] != 1 {
		t.Errorf("%v, want one zero", k)
	}
	p.press("z", 4.1).press("zzz", 4.2).press("z", 4.3)
	p.press("nszu", 6).press("sS", 7)
	if k := p.kinds(); len(k) != 2 || k[brew.EventZero] != 1 {
		t.Errorf("%v, want one zero", k)
	}
	p.press("n", 8).press("coffee", 9).press("ee", 9.1).press("enter", 10)
	if e := p.lane().Events(); e[len(e)-1].Text != "coffeeee" {
		t.Errorf("a note came in pieces as %q", e[len(e)-1].Text)
	}
}
