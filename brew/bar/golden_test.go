package bar_test

import (
	"encoding/json"
	"fmt"
	"os"
	"testing"

	"barline/brew/bar"
)

// reading says whether an instance is read with its windows or without.
type reading struct {
	Optimum  int
	ProvedBy []string `json:"proved_by"`
}

func optima(t testing.TB) map[string]map[string]reading {
	t.Helper()
	text, err := os.ReadFile("testdata/optima.json")
	if err != nil {
		t.Fatal(err)
	}
	var all struct {
		Instances map[string]map[string]reading
	}
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	return all.Instances
}

// long lists the readings that take more than about a second to prove on a
// small machine; the campaign proves them too.
var long = map[string]bool{
	"A1-sum-n12 rigid": true, "B1-cmax-n10 rigid": true, "C2-sum-n08 rigid": true, "D2-cmax-n06 rigid": true,
	"D2-cmax-n07 rigid": true, "A1-sum-n06 tolerance": true, "B1-cmax-n07 tolerance": true,
}

// read returns an instance as a reading has it.
func read(t testing.TB, name, how string) *bar.Problem {
	p := load(t, name)
	if how == "rigid" {
		return p.Rigid()
	}
	return p
}

// The optima that several solvers agree on are proven here as well; those of
// the no-wait job shops are the published ones too: see testdata/README.md.
func TestProvenOptima(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED, NOT TESTED: the proofs take a while")
	}
	proven := 0
	for name, readings := range optima(t) {
		for how, want := range readings {
			if long[name+" "+how] && !campaign {
				continue
			}
			t.Run(name+" "+how, func(t *testing.T) {
				p := read(t, name, how)
				s, err := bar.NewSearch(p, nil)
				if err != nil {
					t.Fatal(err)
				}
				low := s.Bound()
				for s.Advance(1000) {
				}
				pl, any := s.Best()
				if !any {
					t.Fatal("no plan")
				}
				sound(t, p, pl)
				if got := cost(p, pl); got != want.Optimum || !s.Claim().Proven {
					t.Errorf("%d, proven %v; the optimum is %d", got, s.Claim().Proven, want.Optimum)
				}
				if c := s.Claim(); low > c.Cost {
					t.Errorf("the bound at first was %d, above the optimum %d", low, c.Cost)
				}
				if campaign {
					fmt.Printf("%s %s: %d nodes, bound at first %d of %d\n", name, how, s.Nodes(), low, s.Claim().Cost)
				}
			})
			proven++
		}
	}
	if want := 62 - len(long); !campaign && proven < want {
		t.Errorf("%d optima were proven, want %d", proven, want)
	}
}
