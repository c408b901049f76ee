package routine_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/routine"
)

const s = time.Second

// cone is a brew of 1:40: two pours and a drawdown.
func cone() brew.Recipe {
	return brew.Recipe{
		Name: "Quayside cone", Method: brew.Cone, Dose: 15 * brew.Gram, Water: 240 * brew.Gram, Temperature: 94, Grind: "medium",
		Prepare: []brew.Chore{{Do: "Grind {dose}", Over: 12 * s}, {Do: "Rinse the paper", Over: 8 * s}},
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 45 * brew.Gram, Over: 10 * s, Label: "bloom"},
			{Action: brew.Swirl, Over: 4 * s},
			{Action: brew.Pour, Amount: 240 * brew.Gram, To: true, Anchor: brew.At, Offset: 40 * s, Over: 30 * s},
			{Action: brew.Drawdown, Over: 30 * s},
		},
	}
}

func find(name string) (brew.Recipe, error) {
	if name != "cone" {
		return brew.Recipe{}, fmt.Errorf("no recipe %q", name)
	}
	return cone(), nil
}

func at(d time.Duration) *time.Duration { return &d }

func ref(step, of string) *routine.Ref { return &routine.Ref{Step: step, Brew: of} }

// small is a routine of one cup and three sections in three minutes: water on
// at 0:30, served from 2:10 to 2:20, time called at 2:32.
func small() routine.Routine {
	return routine.Routine{
		Name: "Lantern", Limit: 3 * time.Minute, Pace: 120,
		Brews: []routine.Brew{{ID: "left", Recipe: "cone", At: at(30 * s), Serve: 10 * s}},
		Sections: []routine.Section{
			{Name: "Welcome", Parts: []routine.Part{{Say: "Good morning", Over: 10 * s}, {Say: "Three words here", Over: 15 * s}}},
			{Name: "Brewing", Parts: []routine.Part{{Say: "While it pours", Over: 20 * s, During: ref("second pour", "left")}, {Over: 10 * s}}},
			{Name: "Close", Parts: []routine.Part{{Say: "Please enjoy", Over: 12 * s, After: ref("serving", "left")}}},
		},
	}
}

// two has another cup, whose start is left to the planner.
func two() routine.Routine {
	r := small()
	r.Limit = 6 * time.Minute
	r.Brews = append(r.Brews, routine.Brew{ID: "right", Recipe: "cone", Serve: 10 * s, Quiet: []string{"bloom"}})
	r.Sections[2].Parts = append(r.Sections[2].Parts, routine.Part{Say: "And the other one", Over: 8 * s, During: ref("serving", "right")})
	return r
}

// resolved returns a routine that has no faults.
func resolved(t testing.TB, r routine.Routine) routine.Resolved {
	t.Helper()
	out, faults := routine.Resolve(r, find, brew.Bar{})
	if errs := faults.Errors(); len(errs) > 0 {
		t.Fatal(errs)
	}
	return out
}

// planned returns the best plan of a routine, which is proven.
func planned(t testing.TB, r routine.Routine) *routine.Plan {
	t.Helper()
	search := routine.Solve(resolved(t, r), routine.Usual)
	if !search.Found() || !search.Proven() {
		t.Fatalf("found %v, proven %v", search.Found(), search.Proven())
	}
	sound(t, search)
	return search.Plan()
}

// sound checks a plan by the bar's checker, which shares no code with the
// search, and by the routine's own words.
func sound(t testing.TB, search *routine.Search) {
	t.Helper()
	p, best := search.Eased()
	if faults := p.Check(best); len(faults) > 0 {
		t.Fatal(strings.Join(faults, "\n"))
	}
}

// player performs a plan.
type player struct {
	t   testing.TB
	p   *routine.Plan
	run routine.Run
}

func play(t testing.TB, p *routine.Plan, opt routine.Options) *player {
	return &player{t, p, routine.NewRun(p, opt)}
}

// do applies an event that counts, and what the clock brings before it.
func (p *player) do(kind brew.EventKind, lane int, at time.Duration) *player {
	p.t.Helper()
	if effect := p.try(kind, lane, at).Effect; effect != brew.Taken {
		p.t.Fatalf("%s in lane %d at %s is %s", kind, lane, at, effect)
	}
	return p
}

func (p *player) try(kind brew.EventKind, lane int, at time.Duration) (out brew.Outcome) {
	for _, e := range p.run.Clock(at) {
		p.run, _ = p.run.Apply(e)
	}
	p.run, out = p.run.Apply(brew.Event{Kind: kind, Lane: lane, At: at, Source: brew.FromKey})
	return out
}

// call, water and say are the calls of time, the start of the brew in a lane
// and a line mark; press is the brew's key.
func (p *player) call(at time.Duration) *player {
	p.t.Helper()
	return p.do(brew.EventMark, p.p.CallsLane(), at)
}
func (p *player) water(cup int, at time.Duration) *player {
	p.t.Helper()
	return p.do(brew.EventStart, cup, at)
}
func (p *player) say(at time.Duration) *player {
	p.t.Helper()
	return p.do(brew.EventMark, p.p.TalkLane(), at)
}
func (p *player) press(at time.Duration) *player {
	p.t.Helper()
	for _, e := range p.run.Clock(at) {
		p.run, _ = p.run.Apply(e)
	}
	e, ok := p.run.Meant(at, brew.FromKey)
	if !ok {
		p.t.Fatalf("a press at %s means nothing", at)
	}
	var out brew.Outcome
	if p.run, out = p.run.Apply(e); out.Effect != brew.Taken {
		p.t.Fatalf("%+v is %+v", e, out)
	}
	return p
}

func (p *player) result() routine.Result {
	return routine.Of(routine.Take{Speed: 1}, p.run)
}
