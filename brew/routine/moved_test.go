package routine_test

import (
	"testing"

	"barline/brew"
	"barline/brew/routine"
)

// shifted is small with a second pour that must wait for what is said: it
// comes a second later than the recipe has it.
func shifted() routine.Routine {
	r := small()
	r.Brews[0].Quiet = []string{"second pour"}
	r.Sections[1].Parts = []routine.Part{{Say: "Pinned", Over: 15 * s, At: at(56 * s)}}
	return r
}

// What is called behind a cup that has not begun reckons with what it moves.
func TestACupThatHasNotBegunGoesAsPlanned(t *testing.T) {
	p := planned(t, shifted())
	lane := p.Cups[0].AsPlanned()
	start, _ := lane.Span(2)
	serving := p.Hands.Cues[p.Cups[0].Serving]
	if start != 41*s || serving.Start != 131*s {
		t.Fatalf("the pour is written at %s, the serving at %s", start, serving.Start)
	}
	run := play(t, p, p.Whole()).call(0)
	if k := run.run.At(60 * s); k.Next.Lane == 0 || k.Pending[0].Lane != 0 {
		t.Errorf("the cup is not awaited: %+v", k)
	}
	// Water comes 30 s late at the earliest: so does the serving.
	hands, _ := run.run.Apply(brew.Event{Kind: brew.EventNote, Lane: p.CallsLane(), At: 60 * s})
	if start, _ := hands.Lanes().Lane(p.HandsLane()).Span(p.Cups[0].Serving); start != 161*s {
		t.Errorf("the serving is put off to %s, want 2:41", start)
	}
	run.water(0, 60*s)
	if start, _ := run.run.Lanes().Lane(p.HandsLane()).Span(p.Cups[0].Serving); start != 161*s {
		t.Errorf("with water on it is called at %s, want 2:41", start)
	}
}
