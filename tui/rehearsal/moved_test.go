package rehearsal_test

import (
	"testing"

	"barline/brew/routine"
	"barline/tui/rehearsal"
)

// shifted is the short routine with a second pour that its plan moves by two
// seconds, and a start so early that the pour comes behind its lines.
func shifted(t testing.TB) *routine.Plan {
	t.Helper()
	out := *plan(t, "short")
	cup := out.Cups[0]
	cup.Moves = []routine.Move{{Cue: secondPour, To: cup.Plan.Cues[secondPour].Start + 2*s}}
	out.Cups = []routine.Cup{cup}
	return &out
}

const secondPour = 2

// A cup that has not begun is drawn as its plan has it, with what that moves;
// begun on time it is drawn no differently.
func TestACupThatHasNotBegunIsDrawnAsPlanned(t *testing.T) {
	p := begun(t, 80, 24, rehearsal.Options{Plan: shifted(t)}).wait(10)
	cup := p.page.Run().Plan().Cups[0]
	lane := p.page.Lane(left)
	want := cup.Zero + cup.Plan.Cues[secondPour].Start + 2*s
	if got := lane.Spans[secondPour].Start; got != want || !lane.Planned {
		t.Errorf("the pour is drawn from %s, want %s; planned %v", got, want, lane.Planned)
	}
	begun := p.press(" ", cup.Zero.Seconds()).page.Lane(left)
	if begun.Planned {
		t.Error("it is still drawn as planned")
	}
	for i := range lane.Spans {
		if lane.Spans[i] != begun.Spans[i] {
			t.Errorf("cue %d is drawn at %+v, once begun at %+v", i, lane.Spans[i], begun.Spans[i])
		}
	}
	for i, m := range lane.Marks {
		if m.Due != begun.Marks[i].Due {
			t.Errorf("mark %d is drawn at %s, once begun at %s", i, m.Due, begun.Marks[i].Due)
		}
	}
}
