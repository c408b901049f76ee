package routine_test

import (
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/routine"
)

// What contradicts itself is named: no more than it takes, and undoing any one
// of it is enough.
func TestTiesThatContradictEachOther(t *testing.T) {
	say := func(p routine.Part) routine.Part { p.Say, p.Over = "Some words", 5*s; return p }
	for _, c := range []struct {
		name   string
		change func(*routine.Routine)
		at     brew.Place
		want   string
	}{
		{"before and after one step", func(r *routine.Routine) {
			r.Sections[0].Parts[0] = say(routine.Part{Before: ref("bloom", "left"), After: ref("bloom", "left")})
		}, brew.Place{Part: routine.InParts, Key: "before"}, `part 1, "Some words" after bloom of left and part 1, "Some words" before bloom of left contradict each other`},
		{"a later part before an earlier one's step", func(r *routine.Routine) {
			r.Sections[0].Parts[0] = say(routine.Part{After: ref("bloom", "left")})
			r.Sections[0].Parts[1] = say(routine.Part{Before: ref("bloom", "left")})
		}, brew.Place{Part: routine.InParts, Index: 1, Key: "before"}, `part 1, "Some words" after bloom of left and part 2, "Some words" before bloom of left contradict`},
		{"beside hands that are needed twice", func(r *routine.Routine) {
			r.Sections[0].Parts[0] = say(routine.Part{Before: ref("bloom", "left"), After: ref("bloom", "left")})
			r.Sections[1].Parts = append([]routine.Part(nil), r.Sections[1].Parts...)
			r.Sections[1].Parts[0].Hands = true
		}, brew.Place{Part: routine.InParts, Key: "before"}, `part 1, "Some words" after bloom of left and part 1, "Some words" before bloom of left contradict each other`},
		{"at a time that is over", func(r *routine.Routine) {
			r.Sections[0].Parts[0], r.Sections[0].Parts[1] = say(routine.Part{}), say(routine.Part{At: at(4 * s)})
		}, brew.Place{Part: routine.InParts, Index: 1, Key: "at"}, `part 2, "Some words" at 0:04 is sooner than what comes before it allows`},
		{"before a step that comes too soon", func(r *routine.Routine) {
			r.Brews[0].At, r.Brews[0].Ready = at(6*s), true
			r.Sections[0].Parts[0], r.Sections[0].Parts[1] = say(routine.Part{}), say(routine.Part{Before: ref("bloom", "left")})
		}, brew.Place{Part: routine.InParts, Index: 1, Key: "before"}, `the start of left at 0:06 and part 2, "Some words" before bloom of left contradict`},
	} {
		r := small()
		r.Brews[0].Quiet = nil
		r.Sections = append([]routine.Section(nil), r.Sections...)
		r.Sections[0].Parts = append([]routine.Part(nil), r.Sections[0].Parts...)
		c.change(&r)
		faults := routine.Solve(resolved(t, r), routine.Usual).Verdict()
		if len(faults) != 1 || faults[0].Place != c.at || !strings.HasPrefix(faults[0].Message, "impossible: "+c.want) {
			t.Errorf("%s: %+v", c.name, faults)
		}
	}
}

// However long what is said is, there is a plan, and it is told by how much it is
// too long.
func TestWordsFarPastTheLimit(t *testing.T) {
	r := small()
	r.Sections = append([]routine.Section(nil), r.Sections...)
	r.Brews[0].At = nil
	r.Sections[0].Parts = []routine.Part{{Over: 59 * time.Minute}, {Over: 58 * time.Minute}}
	search := routine.Solve(resolved(t, r), routine.Usual)
	if !search.Found() || search.Plan().End < 117*time.Minute {
		t.Fatalf("found %v", search.Found())
	}
	sound(t, search)
	if faults := search.Verdict(); len(faults) != 1 || !strings.Contains(faults[0].Message, "over the limit: out") {
		t.Errorf("%+v", faults)
	}
}
