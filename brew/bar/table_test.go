package bar_test

import (
	"errors"
	"slices"
	"testing"

	"barline/brew/bar"
)

// bowls returns the table of one of testdata's cupping instances, whose bowl
// has the acts pour, break, skim and taste.
func bowls(t testing.TB, name string) bar.Table {
	p := load(t, name)
	return bar.Table{Pattern: p.Patterns[0], Bowls: len(p.Orders), Exact: []int{0, 1}}
}

// For one person a table ends when the tasting of all bowls must, 540 + 12 n
// ticks: an even spacing and crusts broken to the second cost nothing.
func TestAnEvenTableEndsAsSoonAsAnyCan(t *testing.T) {
	for n, name := range map[int]string{3: "cup-n03", 5: "cup-n05", 6: "cup-n06", 8: "cup-n08", 10: "cup-n10", 12: "cup-n12"} {
		table := bowls(t, name)
		pour, crust := table.Pattern.Acts[0].Length, table.Pattern.Acts[1].Length
		laid, err := table.Lay(5000)
		if err != nil {
			t.Fatal(name, err)
		}
		sound(t, laid.Problem, laid.Plan)
		if laid.Every != max(pour, crust) || !laid.Exact || !laid.Proven {
			t.Errorf("%s: a spacing of %d, exact %v, proven %v; want %d", name, laid.Every, laid.Exact, laid.Proven, max(pour, crust))
		}
		pl, any := best(table.Problem(laid.Every, true))
		if !any {
			t.Fatal(name, "has no plan")
		}
		if end := laid.Problem.Value(pl).End; end != 540+12*n {
			t.Errorf("%s ends at %d, want %d", name, end, 540+12*n)
		}
	}
}

// With the crust's window open the bowls can be poured as fast as the kettle
// allows, while the drift of a crust behind its pour stays inside the window:
// (n - 1)(break - pour) <= early + late. Here 2 (n - 1) <= 20.
func TestCrustsMayDriftAsFarAsTheirWindow(t *testing.T) {
	table := bowls(t, "cup-n05")
	pour := table.Pattern.Acts[0].Length
	for n, can := range map[int]bool{5: true, 11: true, 12: false} {
		table.Bowls, table.Every = n, pour
		laid, err := table.Lay(5000)
		if (err == nil) != can {
			t.Errorf("%d bowls at %d: %v, possible %v", n, pour, err, can)
		}
		if err == nil {
			sound(t, laid.Problem, laid.Plan)
			if laid.Exact {
				t.Errorf("%d bowls at %d: crusts broken to the second, which take longer than that", n, pour)
			}
		}
	}
}

// The pours must be over before the first crust is due, where they leave no
// gap for one: n <= 1 + (240 - pour) / spacing.
func TestTheLastPourEndsBeforeTheFirstCrust(t *testing.T) {
	table := bowls(t, "cup-n05")
	table.Every = 10 // leaves 4 ticks between pours, a crust takes 8
	table.Pattern.Acts[1].Early, table.Pattern.Acts[1].Late = 0, 0
	table.Pattern.Acts[2].Late, table.Pattern.Acts[3].Late = 2000, 2000
	for n, can := range map[int]bool{24: true, 25: false} {
		table.Bowls = n
		laid, err := table.Lay(5000)
		if (err == nil) != can {
			t.Errorf("%d bowls at 10: %v, possible %v", n, err, can)
		}
		if err == nil {
			sound(t, laid.Problem, laid.Plan)
			continue
		}
		var crowded *bar.Crowded
		if !errors.As(err, &crowded) {
			t.Fatal(err)
		}
		want := []bar.Need{{Order: 0, Act: 1}, {Order: 24, Act: 0}}
		if c := crowded.Conflict; c.Resource != bar.Hands || c.At != 240 || !slices.Equal(c.Needs, want) {
			t.Errorf("%+v is in the way; want the first crust and the last pour at 240", c)
		}
	}
}

func TestEveryPassOfATableGoesInTheOrderOfPouring(t *testing.T) {
	for _, people := range []int{1, 2} {
		for _, n := range []int{1, 2, 5, 9, 12} {
			table := shippedTable(t, n, 0)
			table.Kit.People = people
			laid, err := table.Lay(5000)
			if err != nil {
				t.Fatal(err)
			}
			sound(t, laid.Problem, laid.Plan)
			for j := 1; j < n; j++ {
				if d := laid.Plan.Zeros[j] - laid.Plan.Zeros[j-1]; d != laid.Every {
					t.Errorf("bowl %d is poured %d behind the one before, want %d", j+1, d, laid.Every)
				}
				for a := range laid.Plan.Starts[j] {
					if laid.Plan.Starts[j][a] < laid.Plan.Starts[j-1][a] {
						t.Errorf("%s of bowl %d comes before that of bowl %d", laid.Problem.Patterns[0].Acts[a].Name, j+1, j)
					}
				}
				for a, act := range laid.Problem.Patterns[0].Acts[:2] {
					if got := laid.Plan.Starts[j][a] - laid.Plan.Zeros[j]; laid.Exact && got != act.Start {
						t.Errorf("bowl %d: %s at %d behind its pour, want %d", j+1, act.Name, got, act.Start)
					}
				}
			}
		}
	}
}

// shippedTable returns the table of the shipped bowl.
func shippedTable(t testing.TB, n, every int) bar.Table {
	t.Helper()
	return bar.NewTable(shipped(t, "quayside-cupping"), n, every, bar.Kit{})
}

// The shipped bowl: filled in 15 s, its crust broken at 4:00 in 8 s, skimmed in
// 20 s when there is time, and tasted when the recipe says, not sooner.
func TestAShippedTableKeepsTheBowlsAlike(t *testing.T) {
	laid, err := shippedTable(t, 5, 0).Lay(5000)
	if err != nil {
		t.Fatal(err)
	}
	if laid.Every != 15 || !laid.Exact || !laid.Proven {
		t.Errorf("a spacing of %d, exact %v, proven %v; want 15", laid.Every, laid.Exact, laid.Proven)
	}
	acts := laid.Problem.Patterns[0].Acts
	if len(acts) != 5 || len(laid.Problem.Patterns[0].Holds) != 0 {
		t.Fatalf("%d acts, want the five steps and nothing kept", len(acts))
	}
	for j, starts := range laid.Plan.Starts {
		for _, a := range []int{0, 1, 3, 4} {
			if got := starts[a] - laid.Plan.Zeros[j]; got != acts[a].Start {
				t.Errorf("bowl %d: %s at %d, want %d", j+1, acts[a].Name, got, acts[a].Start)
			}
		}
	}
}

func TestATableIsRefusedWithoutSense(t *testing.T) {
	for _, table := range []bar.Table{shippedTable(t, 0, 0), shippedTable(t, bar.MostBowls+1, 0), shippedTable(t, 5, -1), shippedTable(t, 5, bar.MostSpacing+1)} {
		if _, err := table.Lay(100); err == nil {
			t.Errorf("%d bowls at %d were planned", table.Bowls, table.Every)
		}
	}
}

func TestCodesTellNothingAndAreNeverAlike(t *testing.T) {
	a, b := bar.Codes(60, 1), bar.Codes(60, 2)
	if slices.Equal(a, b) || !slices.Equal(a, bar.Codes(60, 1)) || !slices.Equal(a[:5], bar.Codes(5, 1)) {
		t.Error("codes do not follow from the seed")
	}
	if slices.IsSorted(a) {
		t.Error("codes follow the order of pouring")
	}
	seen := map[string]bool{}
	for _, code := range a {
		if len(code) != 3 || code[0] == '0' || seen[code] {
			t.Errorf("code %q is not of three figures, or there twice", code)
		}
		seen[code] = true
	}
}

func TestCoffeesAreDealtEvenlyAndByChance(t *testing.T) {
	for _, c := range []struct{ bowls, coffees int }{{6, 2}, {7, 3}, {5, 5}, {9, 1}} {
		got := bar.Coffees(c.bowls, c.coffees, 3)
		count := make([]int, c.coffees)
		for _, which := range got {
			count[which]++
		}
		if slices.Max(count)-slices.Min(count) > 1 || len(got) != c.bowls {
			t.Errorf("%d bowls of %d coffees: %v of each", c.bowls, c.coffees, count)
		}
	}
	if a := bar.Coffees(12, 3, 1); slices.Equal(a, bar.Coffees(12, 3, 2)) || !slices.Equal(a, bar.Coffees(12, 3, 1)) {
		t.Error("what is in the bowls does not follow from the seed")
	}
}
