package brew_test

import (
	"errors"
	"strings"
	"testing"

	"barline/brew"
)

// shared are recipes whose shares do not come out even.
func shared() map[string]brew.Recipe {
	thirds := method(brew.Cone, pour(70, 0), pour(70, 10), pour(70, 10), act(brew.Drawdown, "", 60))
	thirds.Dose = mass(13.3)
	odd := method(brew.FlatBed, to(0.7, 1), to(33.4, 9), pour(21.3, 6), to(199.9, 0), pour(0.3, 1))
	odd.Dose = mass(12.7)
	tared := method(brew.InvertedPress, pour(50, 8), act(brew.Tare, "", 0), to(60.5, 9), pour(19.9, 4),
		act(brew.Seal, "cap", 0), act(brew.Flip, "", 0), act(brew.Lift, "", 0), act(brew.Tare, "", 0), to(79.6, 11), act(brew.Press, "", 0))
	diluted := method(brew.PressMethod, to(50, 8), to(84.1, 5), act(brew.Lift, "", 0), act(brew.Press, "", 30),
		brew.Step{Action: brew.Bypass, Amount: mass(60.3)}, brew.Step{Action: brew.Bypass, Amount: mass(60.3), Over: 9 * s}, brew.Step{Action: brew.Bypass, Amount: mass(0.4)})
	ounces := method(brew.OtherMethod, brew.Step{Action: brew.Pour, Amount: 28350}, brew.Step{Action: brew.Pour, Amount: 170097, Over: 20 * s})
	return map[string]brew.Recipe{
		"the documentation's": changed(func(r *brew.Recipe) { r.Capacity = 0 }), "thirds": thirds, "odd": odd,
		"tared": tared, "diluted": diluted, "ounces": ounces,
	}
}

func TestEveryDoseScales(t *testing.T) {
	for name, r := range shared() {
		written := planned(t, r)
		for dose := 5 * g; dose <= 100*g; dose += g / 10 {
			scaled, err := r.Scale(dose, brew.Bar{})
			if err != nil {
				t.Fatalf("%s at %s: %v", name, dose, err)
			}
			p, err := brew.NewPlan(scaled, brew.Bar{})
			if err != nil {
				t.Fatalf("%s at %s cannot be planned: %v", name, dose, err)
			}
			if wrong := misscaled(written, p, dose); wrong != "" {
				t.Fatalf("%s at %s: %s\n%s", name, dose, wrong, picture(p))
			}
		}
		same(t, "the recipe itself", planned(t, r), written)
	}
}

// misscaled says what is wrong with a plan scaled from another, "" for nothing.
func misscaled(from, p *brew.Plan, dose brew.Mass) string {
	last := len(p.Cues) - 1
	// by returns what a mass should have become, to the milligram.
	by := func(m brew.Mass) brew.Mass { return (2*m*dose + from.Dose) / (2 * from.Dose) }
	off := func(m, wanted brew.Mass) brew.Mass { return max(m-by(wanted), by(wanted)-m) }
	switch {
	case p.Dose != dose:
		return "dose " + p.Dose.String()
	case p.Version != from.Version:
		return "version " + p.Version
	case p.Cues[last].Water != p.Water:
		return "the pours add up to " + p.Cues[last].Water.String()
	case p.Water%(g/10) != 0 && dose != from.Dose, off(p.Water, from.Water) > g/20:
		return "water " + p.Water.String()
	case p.Cues[last].Bypass != p.Bypass, off(p.Bypass, from.Bypass) > g/20:
		return "bypass " + p.Bypass.String()
	}
	for i, c := range p.Cues {
		was := from.Cues[i]
		if c.Start != was.Start || c.End != was.End || c.Assumed != was.Assumed || c.OnScale != was.OnScale {
			return c.Name + " is not what it was"
		}
		if c.Action == brew.Pour && off(c.Scale-c.From, was.Scale-was.From) > g/10 {
			return c.Name + " pours " + (c.Scale - c.From).String()
		}
		if !c.OnScale && c.Scale != 0 || c.Action == brew.Tare && c.Scale != 0 {
			return c.Name + " leaves a reading of " + c.Scale.String()
		}
	}
	return ""
}

func TestScaledShares(t *testing.T) {
	amounts := func(r brew.Recipe) (out []brew.Mass) {
		for _, s := range r.Steps {
			if s.Amount > 0 {
				out = append(out, s.Amount)
			}
		}
		return out
	}
	for _, test := range []struct {
		name string
		from brew.Recipe
		dose float64
		want []brew.Mass
	}{
		{"what is left over goes to the largest remainder", method(brew.Cone, pour(100, 20), pour(99, 20), pour(11, 3)), 14.1, []brew.Mass{100700, 99700, 11100}},
		{"of equal remainders the earlier comes first", method(brew.Cone, pour(70, 7), pour(70, 7), pour(70, 7)), 14.01, []brew.Mass{70100, 70100, 70000}},
		{"readings follow the shares", method(brew.Cone, to(70, 7), to(140, 7), pour(70, 7)), 14.01, []brew.Mass{70100, 140200, 70000}},
		{"a tare begins the reading anew", method(brew.Cone, to(70, 7), act(brew.Tare, "", 2), to(70, 7), to(140, 7)), 14.01, []brew.Mass{70100, 70100, 140100}},
		{"a half tenth of water is rounded up", method(brew.Cone, pour(210, 20)), 14.01, []brew.Mass{210200}},
		{"the bypass has shares of its own", shared()["diluted"], 28, []brew.Mass{100000, 168200, 120600, 120600, 800}},
	} {
		scaled, err := test.from.Scale(mass(test.dose), brew.Bar{})
		if err != nil {
			t.Fatal(err)
		}
		same(t, test.name, amounts(scaled), test.want)
	}
}

func TestScaleRefuses(t *testing.T) {
	long := changed(func(r *brew.Recipe) { r.Steps[1] = act(brew.Do, strings.Repeat("x", 35)+"{dose}", 4) })
	tiny := method(brew.Cone, pour(200, 20), pour(0.3, 0.1))
	for _, test := range []struct {
		name   string
		recipe brew.Recipe
		dose   brew.Mass
		want   string // the place of the first fault
	}{
		{"no dose", quayside(), 0, "dose"},
		{"a dose below nothing", quayside(), -5 * g, "dose"},
		{"a dose above the most", quayside(), brew.MostDose + 1, "dose"},
		{"a dose without end", quayside(), 1 << 62, "dose"},
		{"a dose that the chamber does not hold", quayside(), 16 * g, "capacity"},
		{"a prompt that grows too long", long, mass(14.05), "step 2, do"},
		{"a pour that comes to nothing", tiny, 2 * g, "step 2, pour"},
		{"a recipe that is at fault already", changed(func(r *brew.Recipe) { r.Temperature = 0 }), 15 * g, "temperature"},
	} {
		_, err := test.recipe.Scale(test.dose, brew.Bar{})
		var faults brew.Faults
		if !errors.As(err, &faults) {
			t.Errorf("%s: error %v, want faults", test.name, err)
			continue
		}
		same(t, test.name, faults[0].Place.String(), test.want)
	}
}

func TestScaledAgainItIsTheSameVersionStill(t *testing.T) {
	r := shared()["thirds"]
	once, _ := r.Scale(20*g, brew.Bar{})
	twice, err := once.Scale(r.Dose, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	got, want := planned(t, twice), planned(t, r)
	same(t, "plan", got, want)
	again, _ := r.Scale(r.Dose, brew.Bar{})
	same(t, "the recipe at its own dose", again, r)
}

func TestAScaledFlowIsWarnedOf(t *testing.T) {
	r := method(brew.Cone, marking(brew.MarkNone, pour(210, 0)))
	same(t, "as written", heard(brew.Check(r, brew.Bar{}), "*"), "")
	scaled, _ := r.Scale(56*g, brew.Bar{})
	same(t, "four times the dose in the same time", heard(brew.Check(scaled, brew.Bar{}), "*"),
		"warning: step 1, over: a flow of 24.0 g/s is outside the usual 2 to 15 g/s | give the water more or less time")
}
