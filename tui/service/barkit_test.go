package service_test

import (
	"slices"
	"strings"
	"testing"

	"barline/brew"
	"barline/brew/bar"
)

func TestABrewerGoesOutAndComesBack(t *testing.T) {
	p := opened(t, 80, 24, narrow(t)).order("12", 5).press("b", 8).press("-", 9)
	if _, out := p.page.Service().Kit(); out.Brewers != 1 {
		t.Errorf("%d brewers are out, want 1", out.Brewers)
	}
	if s := seen(p); !s.spells("1 of 4 brewers out") || !s.spells("3 of 4 brewers in use") {
		t.Errorf("it is not told:\n%s", strings.Join(s.lines, "\n"))
	}
	p.press("+", 10)
	if _, out := p.page.Service().Kit(); out.Brewers != 0 {
		t.Errorf("%d brewers are out, want 0", out.Brewers)
	}
	if p.press("+", 11); p.page.Service().Count() == 0 {
		t.Error("nothing happened")
	}
}

func TestTheKettleIsEmpty(t *testing.T) {
	p, k := recorded(t, alone(t))
	p.order("12", 5).press("k", 8).press("3", 9)
	if s := seen(p); !s.spells("a kettle is empty until 8:18:09") {
		t.Errorf("it is not told:\n%s", strings.Join(s.lines, "\n"))
	}
	if s := seen(p.wait(20)); !s.spells("Window table, kettle empty until 8:18:09") {
		t.Errorf("it is forgotten:\n%s", strings.Join(s.lines, "\n"))
	}
	if got := k.kinds()[bar.KettleEmpty]; got != 1 {
		t.Errorf("%d events", got)
	}
	for _, tk := range p.page.Service().Look(p.page.At()).Tickets {
		if tk.HasZero && tk.Zero < sec(189) {
			t.Errorf("order %d pours at %v from an empty kettle", tk.Order, tk.Zero)
		}
	}
	if p.press("k", 21).press("0", 22); !seen(p).spells("the kettle is full") {
		t.Error("it is not full again")
	}
}

func TestPersonsComeAndGo(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("1426", 5)
	alone := p.page.Service().Look(p.page.At()).Tickets[3].Ready
	p.press("p", 9).write(", Bo", 10).press("enter", 12).wait(13)
	if got := p.page.Service().People(); !slices.Equal(got, []string{"Ada", "Bo"}) {
		t.Fatalf("at work: %q", got)
	}
	if both := p.page.Service().Look(p.page.At()).Tickets[3].Ready; both >= alone {
		t.Errorf("the last cup is ready at %v with two, at %v with one", both, alone)
	}
	if s := seen(p); !s.spells("space Ada's mark enter Bo's mark") {
		t.Error("the keys do not say whose is whose")
	}
}

func TestADoseCountsFromTheNextStart(t *testing.T) {
	var asked string
	opt := alone(t)
	opt.Scale = func(plan *brew.Plan, dose string) (*brew.Plan, error) {
		asked = dose
		scaled := *plan
		scaled.Dose = 20 * brew.Gram
		return &scaled, nil
	}
	p := opened(t, 80, 24, opt).order("1", 5).serve(20).order("1", 25)
	p.press("d", 30).press("1", 31).write("20 g", 32).press("enter", 33).wait(34)
	s := p.page.Service()
	if asked != "20 g" || s.DishOf(0).Plan.Dose == 20*brew.Gram || s.DishOf(1).Plan.Dose != 20*brew.Gram {
		t.Errorf("asked for %q, doses %s and %s", asked, s.DishOf(0).Plan.Dose, s.DishOf(1).Plan.Dose)
	}
}

func TestAnEditedFileCountsFromTheNextStart(t *testing.T) {
	opt := alone(t)
	now := menu(t)
	opt.Menu = func() []*brew.Plan { return now }
	p := opened(t, 80, 24, opt).order("1", 5).serve(20)
	edited := *now[0]
	edited.Dose = 15 * brew.Gram
	now = slices.Clone(now)
	now[0] = &edited
	p.order("1", 25).wait(27)
	s := p.page.Service()
	if s.DishOf(0).Plan.Dose == 15*brew.Gram || s.DishOf(1).Plan.Dose != 15*brew.Gram {
		t.Errorf("doses %s and %s", s.DishOf(0).Plan.Dose, s.DishOf(1).Plan.Dose)
	}
	if !seen(p).spells("Quayside press was edited") {
		t.Error("it is not told")
	}
}
