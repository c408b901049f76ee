package bar_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"barline/brew/bar"
)

// file is an instance of testdata; its README says what the fields mean.
type file struct {
	Name      string
	Objective string
	Horizon   int
	Resources []struct {
		Name string
		Cap  int
	}
	Recipes []struct {
		Name string
		Ops  []struct {
			Name                    string
			Res                     []int
			Start, Dur, Early, Late int
		}
		Holds []struct{ Res, From, To int }
		Done  int
	}
	Orders []struct{ Recipe, Release int }
	FIFO   bool `json:"fifo_same_recipe"`
}

// load reads an instance of testdata, with its windows.
func load(t testing.TB, name string) *bar.Problem {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	var f file
	if err := json.Unmarshal(text, &f); err != nil {
		t.Fatal(name, err)
	}
	p := &bar.Problem{Horizon: f.Horizon, Goal: map[string]bar.Goal{"sumC": bar.Wait, "cmax": bar.End}[f.Objective], InTurn: f.FIFO, Passing: -1}
	for _, r := range f.Resources {
		p.Resources = append(p.Resources, bar.Resource{Name: r.Name, Capacity: r.Cap})
	}
	for _, r := range f.Recipes {
		pat := bar.Pattern{Name: r.Name, Done: r.Done}
		for i, o := range r.Ops {
			a := bar.Act{Name: o.Name, Uses: o.Res, Start: o.Start, Length: o.Dur, Early: o.Early, Late: o.Late, Cue: -1}
			if i > 0 {
				a.Behind = []int{i - 1}
			}
			pat.Acts = append(pat.Acts, a)
		}
		for _, h := range r.Holds {
			pat.Holds = append(pat.Holds, bar.Hold{Resource: h.Res, From: h.From, To: h.To})
		}
		p.Patterns = append(p.Patterns, pat)
	}
	for _, o := range f.Orders {
		p.Orders = append(p.Orders, bar.Order{Pattern: o.Recipe, Placed: o.Release})
	}
	if err := p.Valid(); err != nil {
		t.Fatal(name, err)
	}
	return p
}

// sound fails the test if the checker finds anything wrong with the plan.
func sound(t testing.TB, p *bar.Problem, pl bar.Plan) {
	t.Helper()
	if faults := p.Check(pl); len(faults) > 0 {
		t.Fatalf("%s\n%+v", strings.Join(faults, "\n"), pl)
	}
}

// cost returns what an instance's objective counts: ready times, not waits.
func cost(p *bar.Problem, pl bar.Plan) int {
	v := p.Value(pl)
	if p.Goal == bar.End {
		return v.End
	}
	for _, o := range p.Orders {
		v.Wait += o.Placed
	}
	return v.Wait
}
