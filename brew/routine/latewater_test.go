package routine_test

import (
	"testing"

	"barline/brew"
)

// Whoever comes very late to the water, and has pressed nothing in between,
// means the water still: a serving waits for its brew, however long ago it is written.
func TestAPressThatIsVeryLateMeansTheWater(t *testing.T) {
	p := planned(t, two())
	run := play(t, p, p.Whole()).call(0).run
	for at := p.Cups[0].Zero + s; at < 2*p.End; at += s {
		if e, ok := run.Meant(at, brew.FromKey); !ok || e.Kind != brew.EventStart {
			t.Fatalf("at %s a press means %s in lane %d, %v", at, e.Kind, e.Lane, ok)
		}
	}
}
