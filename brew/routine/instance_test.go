package routine_test

import (
	"encoding/json"
	"os"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/brew/routine"
)

// instance is routine-3cone.json as far as it is read here.
type instance struct {
	Horizon int
	Recipes []struct {
		Name string
		Ops  []struct {
			Name                    string
			Res                     []int
			Start, Dur, Early, Late int
		}
	}
}

func ticks(n int) time.Duration { return time.Duration(n) * s }

// The instance written as a routine: its cone is a recipe whose bloom is
// spoken by nobody, its talk six parts. Only how far grinding and rinsing may
// move cannot be said in a recipe, so their acts are set.
func TestTheInstanceOfThreeConesEndsWhereItsOptimumIs(t *testing.T) {
	var in instance
	text, err := os.ReadFile("testdata/routine-3cone.json")
	if err == nil {
		err = json.Unmarshal(text, &in)
	}
	if err != nil {
		t.Fatal(err)
	}
	resolved, faults := routine.Resolve(asRoutine(in), func(string) (brew.Recipe, error) { return asRecipe(in), nil }, brew.Bar{})
	if faults.Errors() != nil {
		t.Fatal(faults)
	}
	p := routine.NewProblem(resolved, routine.Within)
	for cup := range 3 {
		for a, op := range in.Recipes[0].Ops[:2] {
			act := &p.Patterns[cup].Acts[a]
			act.Start, act.Length, act.Early, act.Late = op.Start, op.Dur, op.Early, op.Late
			act.Uses = []int{bar.Hands}
			if len(op.Res) == 2 {
				act.Uses = []int{bar.Hands, bar.Kettle}
			}
		}
	}
	search, err := bar.NewSearch(&p.Problem, nil)
	if err != nil {
		t.Fatal(err)
	}
	search.Advance(50_000)
	best, _ := search.Best()
	if faults := p.Check(best); len(faults) > 0 {
		t.Fatal(faults)
	}
	if c := search.Claim(); c.Cost != 338 || !c.Proven {
		t.Errorf("ends at %d, proven %v; the optimum is 338", c.Cost, c.Proven)
	}
}

func asRoutine(in instance) routine.Routine {
	r := routine.Routine{Name: "instance", Limit: ticks(in.Horizon), Pace: 130}
	for _, id := range []string{"a", "b", "c"} {
		r.Brews = append(r.Brews, routine.Brew{ID: id, Recipe: "cone", Quiet: []string{"bloom"}})
	}
	section := routine.Section{Name: "talk"}
	for _, op := range in.Recipes[1].Ops {
		section.Parts = append(section.Parts, routine.Part{Say: op.Name, Over: ticks(op.Dur), Hands: len(op.Res) == 2})
	}
	r.Sections = []routine.Section{section}
	return r
}

func asRecipe(in instance) brew.Recipe {
	r := brew.Recipe{Name: "cone", Method: brew.Cone, Dose: 15 * brew.Gram, Water: 200 * brew.Gram, Temperature: 93, Grind: "medium",
		Prepare: []brew.Chore{{Do: "grind"}, {Do: "rinse"}}}
	for i, op := range in.Recipes[0].Ops[2:] {
		step := brew.Step{Action: brew.Pour, Amount: 50 * brew.Gram, Over: ticks(op.Dur), Anchor: brew.At, Offset: ticks(op.Start),
			Label: op.Name, Start: &brew.Window{Early: ticks(op.Early), Late: ticks(op.Late)}}
		switch op.Name {
		case "swirl":
			step.Action, step.Amount = brew.Swirl, 0
		case "serve":
			step.Action, step.Amount = brew.Serve, 0
		}
		if i == 0 {
			step.Anchor, step.Offset = brew.Directly, 0
		}
		r.Steps = append(r.Steps, step)
	}
	return r
}
