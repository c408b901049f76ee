package bar_test

import (
	"strings"
	"testing"

	"barline/brew/bar"
)

// table is a problem with a plan that has no room to spare: two brews of two
// acts in one brewer each, and a third behind them.
func table() (*bar.Problem, bar.Plan) {
	pat := bar.Pattern{
		Acts: []bar.Act{
			{Name: "pour", Uses: []int{0}, Length: 5},
			{Name: "serve", Uses: []int{0}, Start: 10, Length: 5, Early: 1, Late: 2, Behind: []int{0}},
		},
		Holds: []bar.Hold{{Resource: 1, From: 0, To: 1}}, Done: 1,
	}
	p := &bar.Problem{
		Resources: []bar.Resource{{Name: "hands", Capacity: 1}, {Name: "brewer", Capacity: 2}}, Patterns: []bar.Pattern{pat},
		Orders: []bar.Order{{}, {Placed: 5}, {Placed: 6}}, Horizon: 35, InTurn: true, Passing: 0,
		Links: []bar.Link{{From: 0, FromAct: 1, To: 1, ToAct: 1, Least: 5}},
	}
	return p, bar.Plan{Zeros: []int{0, 5, 20}, Starts: [][]int{{0, 10}, {5, 15}, {20, 30}}}
}

func TestTheCheckerFindsWhatIsWrong(t *testing.T) {
	for want, spoil := range map[string]func(p *bar.Problem, pl *bar.Plan){
		"": func(*bar.Problem, *bar.Plan) {},
		"order 1: serve at 18 is outside its window -1 +2 around 15": func(_ *bar.Problem, pl *bar.Plan) { pl.Starts[1][1] = 18 },
		"order 0: serve at 8 is outside its window -1 +2 around 10":  func(_ *bar.Problem, pl *bar.Plan) { pl.Starts[0][1] = 8 },
		"order 2: serve ends at 36, behind the horizon 35":           func(_ *bar.Problem, pl *bar.Plan) { pl.Starts[2][1] = 31 },
		"hands: 2 at once in tick 15, there is 1":                    func(_ *bar.Problem, pl *bar.Plan) { pl.Starts[0][1] = 11 },
		"brewer: 3 at once in tick 14, there is 2": func(p *bar.Problem, pl *bar.Plan) {
			p.Resources[0].Capacity, pl.Zeros[2], pl.Starts[2] = 3, 14, []int{14, 24}
		},
		"order 2: pour at 20, but ordered at 21 and now it is 0": func(p *bar.Problem, _ *bar.Plan) { p.Orders[2].Placed = 21 },
		"order 0: pour at 0, but ordered at 0 and now it is 1":   func(p *bar.Problem, _ *bar.Plan) { p.Now = 1 },
		"order 0: began at 1, planned at 0":                      func(p *bar.Problem, _ *bar.Plan) { p.Began(0, 1) },
		"order 1: pour was at 4, planned at 5":                   func(p *bar.Problem, _ *bar.Plan) { p.Did(1, 0, 4, 9) },
		"order 1: serve begins at 15, pour ends at 16":           func(p *bar.Problem, _ *bar.Plan) { p.Did(1, 0, 5, 16) },
		"act 1 of order 1 at 15 is less than 6 behind 10":        func(p *bar.Problem, _ *bar.Plan) { p.Links[0].Least = 6 },
		"order 1: 1 acts planned, 2 wanted":                      func(_ *bar.Problem, pl *bar.Plan) { pl.Starts[1] = pl.Starts[1][:1] },
		"2 orders planned, 3 wanted":                             func(_ *bar.Problem, pl *bar.Plan) { pl.Starts = pl.Starts[:2] },
		"order 1 begins at 0, before the equal order 0 at 5":     func(p *bar.Problem, pl *bar.Plan) { swap(p, pl); p.Passing = 1 },
		"order 0 is passed by 1 later ones, at most 0 may":       func(p *bar.Problem, pl *bar.Plan) { swap(p, pl); p.InTurn = false },
	} {
		p, pl := table()
		p.Links = append([]bar.Link(nil), p.Links...)
		spoil(p, &pl)
		got := p.Check(pl)
		if want == "" && len(got) > 0 || want != "" && !found(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// swap has the second order begin ahead of the first.
func swap(p *bar.Problem, pl *bar.Plan) {
	p.Orders[1].Placed, p.Links = 0, nil
	pl.Zeros[0], pl.Zeros[1] = pl.Zeros[1], pl.Zeros[0]
	pl.Starts[0], pl.Starts[1] = pl.Starts[1], pl.Starts[0]
}

func found(faults []string, want string) bool {
	for _, f := range faults {
		if strings.HasPrefix(f, want) {
			return true
		}
	}
	return false
}

// What has begun may stand where nothing could be planned, for nobody can
// call it back; nothing is planned on top of it.
func TestWhatHasBegunIsNotHeldAgainstAPlan(t *testing.T) {
	p, pl := table()
	p.Now = 6
	for j := range 2 {
		p.Began(j, pl.Zeros[j])
	}
	p.Did(0, 0, 0, 7)
	p.Did(1, 0, 5, 10)
	sound(t, p, pl) // the two pours overlapped
	p.Resources[1].Capacity = 1
	sound(t, p, pl) // and one brewer is lost, but both are in use
	pl.Zeros[2], pl.Starts[2] = 19, []int{19, 29}
	if !found(p.Check(pl), "brewer: 2 at once in tick 19") {
		t.Errorf("%q", p.Check(pl))
	}
}
