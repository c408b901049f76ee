package cup_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/cup"
)

// planned returns a plan with the figures that the cup hangs on.
func planned(m brew.Method, dose, water, bypass float64, at brew.Celsius, contact time.Duration) *brew.Plan {
	g := func(x float64) brew.Mass { return brew.Mass(math.Round(1000 * x)) }
	return &brew.Plan{Method: m, Dose: g(dose), Water: g(water), Bypass: g(bypass), Temperature: at, Contact: contact, HasContact: contact > 0}
}

// An hour is as good as for ever, so a pot at 1:15 is the published law: 20.70
// ± 2·1.08 % of the dose about 21.51, 1.4138 %.
func TestALongSteepIsExpectedAtEquilibrium(t *testing.T) {
	pot := cup.Expect(planned(brew.Pot, 10, 150, 0, 95, 3*time.Hour))
	within(t, "strength", float64(pot.Strength), float64(cup.Jug.Strength(15)), 1e-4)
	within(t, "extraction", float64(pot.Extraction), 21.51, 1e-3)
	within(t, "at the least", float64(pot.Low), 100*0.1854/(15+0.1854), 1e-3)
	within(t, "at the most", float64(pot.High), 100*0.2286/(15+0.2286), 1e-3)
	bowl := cup.Expect(planned(brew.Cupping, 10, 150, 0, 93, 3*time.Hour))
	within(t, "a bowl", float64(bowl.Strength), float64(cup.Bowl.Strength(15)), 1e-4)
	within(t, "a decaffeinated bowl at the least", float64(bowl.Low), 100*0.214/(15+0.214), 1e-3)
	within(t, "a bowl at the most", float64(bowl.High), 100*0.251/(15+0.251), 1e-3)
	if !pot.Valid || !bowl.Valid {
		t.Errorf("%+v, %+v", pot, bowl)
	}
}

func TestAShortSteepIsExpectedAsFarAsItGets(t *testing.T) {
	way := cup.HowFar(2 * time.Minute)
	got := cup.Expect(planned(brew.PressMethod, 14, 210, 0, 93, 2*time.Minute))
	e := cup.Jug.Extraction() * way.Middle
	within(t, "extraction", float64(got.Extraction), 100*e, 1e-9)
	within(t, "strength", float64(got.Strength), 100*e/(15+e), 1e-9)
	low, high := 0.1854*way.Low, 0.2286*way.High
	within(t, "low", float64(got.Low), 100*low/(15+low), 1e-9)
	within(t, "high", float64(got.High), 100*high/(15+high), 1e-9)
	if !got.Valid || !strings.Contains(got.Why, "2 min of contact") {
		t.Errorf("%+v", got)
	}
}

// 18 to 22 % through a bed that keeps 2.0 to 2.5: by the balance of solids.
func TestABedIsArithmeticAndNeverAPrediction(t *testing.T) {
	got := cup.Expect(planned(brew.Cone, 18, 288, 0, 94, 3*time.Minute))
	within(t, "strength", float64(got.Strength), 100*0.2/(16-2.25+0.2), 1e-9)
	within(t, "low", float64(got.Low), 100*0.18/(16-2+0.18), 1e-9)
	within(t, "high", float64(got.High), 100*0.22/(16-2.5+0.22), 1e-9)
	if got.Valid || got.Extraction != 20 || !strings.HasPrefix(got.Why, "no prediction") {
		t.Errorf("%+v", got)
	}
}

// The published example of a bypass, through a bed: 30 g, 300 g, and 234 g
// around it; 2.25 g/g kept instead of 2, so 238.5 g at 2.5157 % before.
func TestABypassThinsWhatIsExpected(t *testing.T) {
	bare := cup.Expect(planned(brew.FlatBed, 30, 300, 0, 94, 3*time.Minute))
	thin := cup.Expect(planned(brew.FlatBed, 30, 300, 234, 94, 3*time.Minute))
	d, err := cup.Thin(300+(0.2-2.25)*30, float64(bare.Strength), 234)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "strength", float64(thin.Strength), d.Strength, 1e-9)
	if thin.Extraction != bare.Extraction || thin.Low >= thin.Strength || thin.Strength >= thin.High {
		t.Errorf("%+v of %+v", thin, bare)
	}
	// a press keeps liquid as strong as the cup: the same share is thinned
	press := cup.Expect(planned(brew.PressMethod, 45, 270, 210, 94, 3*time.Hour))
	before := cup.Jug.Strength(6)
	after, err := cup.Thin(270+(cup.Jug.Extraction()-2.48)*45, float64(before), 210)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "a press's", float64(press.Strength), after.Strength, 1e-4)
	// how much a press squeezes out is not known, so its range is the wider one
	pot := cup.Expect(planned(brew.Pot, 45, 270, 210, 94, 3*time.Hour))
	if press.High <= pot.High || press.Low != pot.Low || press.Strength != pot.Strength {
		t.Errorf("press %+v, pot %+v", press, pot)
	}
}

func TestAnEstimateSaysWhatItLacks(t *testing.T) {
	for what, test := range map[string]struct {
		plan *brew.Plan
		says string
	}{
		"too little water":      {planned(brew.Pot, 50, 149, 0, 93, time.Hour), "a ratio of 1:2.98"},
		"too cool":              {planned(brew.PressMethod, 14, 210, 0, 79.9, time.Hour), "water of 79.9 °C"},
		"too hot":               {planned(brew.PressMethod, 14, 210, 0, 99.1, time.Hour), "water of 99.1 °C"},
		"no end of the contact": {planned(brew.Pot, 14, 210, 0, 93, 0), "full equilibrium"},
	} {
		got := cup.Expect(test.plan)
		if got.Valid || !strings.Contains(got.Why, test.says) || got.Strength == 0 {
			t.Errorf("%s: %+v", what, got)
		}
	}
	other := cup.Expect(planned(brew.OtherMethod, 14, 210, 0, 93, time.Hour))
	if other.Valid || other.Strength != 0 || other.High != 0 || !strings.Contains(other.Why, `"other"`) {
		t.Errorf("%+v", other)
	}
	for _, at := range []brew.Celsius{80, 99} { // the edges of what was measured belong to it
		if got := cup.Expect(planned(brew.Pot, 50, 150, 0, at, time.Hour)); !got.Valid {
			t.Errorf("%+v", got)
		}
	}
	if dry := cup.Expect(planned(brew.Cone, 100, 180, 0, 93, time.Hour)); dry.Strength != 0 {
		t.Errorf("grounds that keep all the water give %+v", dry)
	}
}

// Twelve seconds more of a two-minute press: against differences taken here
// curve by curve.
func TestContactMovesTheStrengthByTheKinetics(t *testing.T) {
	p := planned(brew.PressMethod, 14, 210, 0, 93, 2*time.Minute)
	got, ok := cup.ContactEffect(p, 12*time.Second)
	if !ok {
		t.Fatal("nothing is said")
	}
	strength := func(e float64) float64 { return 100 * e / (15 + e) }
	coarseDrip := [3]float64{0.666, 14.83, 274.0}
	e := cup.Jug.Extraction()
	within(t, "the middle", got.Middle, strength(e*share(coarseDrip, 132))-strength(e*share(coarseDrip, 120)), 1e-9)
	fine := [3]float64{0.603, 11.25, 42.36}
	within(t, "the least, of the finest and thinnest", got.Low, strength(0.1854*share(fine, 132))-strength(0.1854*share(fine, 120)), 1e-9)
	slow := func(s float64) float64 { return 1 - math.Pow(0.01, s/1200) }
	within(t, "the most, unstirred and richest", got.High, strength(0.2286*slow(132))-strength(0.2286*slow(120)), 1e-9)
	if got.Text != "+12.0 s of contact should move the strength by +0.01 points, +0.01 to +0.04 by published kinetics: an estimate." {
		t.Errorf("%q", got.Text)
	}
	within(t, "a second of it", got.PerSecond().High, got.High/12, 1e-12)
	less, _ := cup.ContactEffect(p, -12*time.Second)
	if less.Middle >= 0 || less.High >= 0 || math.Abs(less.Middle) <= got.Middle {
		t.Errorf("12 s less: %+v, 12 s more: %+v", less, got)
	}
	none, _ := cup.ContactEffect(p, 0)
	if none.Middle != 0 || none.PerSecond() != (cup.Range{}) {
		t.Errorf("no change: %+v", none)
	}
	if bowl, ok := cup.ContactEffect(planned(brew.Cupping, 11, 196, 0, 93, 4*time.Minute), 10*time.Second); !ok || bowl.Middle <= 0 {
		t.Errorf("a bowl: %+v", bowl)
	}
	for what, p := range map[string]*brew.Plan{
		"a cone": planned(brew.Cone, 18, 288, 0, 93, 3*time.Minute), "no end": planned(brew.Pot, 18, 288, 0, 93, 0), "other": planned(brew.OtherMethod, 18, 288, 0, 93, 3*time.Minute),
	} {
		if got, ok := cup.ContactEffect(p, 10*time.Second); ok {
			t.Errorf("%s: %+v", what, got)
		}
	}
}

func TestWaterMovesTheStrengthByTheBalance(t *testing.T) {
	pot, ok := cup.WaterEffect(planned(brew.Pot, 10, 150, 0, 93, 3*time.Hour))
	if !ok || pot.High >= 0 || pot.Low >= pot.High {
		t.Errorf("%+v", pot)
	}
	at := func(e, w float64) float64 { return 100 * 10 * e / (w + 10*e) }
	within(t, "the strongest loses most", pot.Low, at(0.2286, 151)-at(0.2286, 150), 1e-5)
	within(t, "the weakest loses least", pot.High, at(0.1854, 151)-at(0.1854, 150), 1e-5)
	cone, ok := cup.WaterEffect(planned(brew.Cone, 18, 288, 0, 93, 3*time.Minute))
	if !ok || cone.High != 0 || cone.Low >= 0 {
		t.Errorf("%+v", cone)
	}
	if got, ok := cup.WaterEffect(planned(brew.OtherMethod, 18, 288, 0, 93, time.Minute)); ok {
		t.Errorf("other: %+v", got)
	}
}

// What has run out of a press steeps no more: a second of pressing does between
// nothing and what a second of steeping does, half of that in the middle.
func TestPressingDoesAtTheMostWhatSteepingDoes(t *testing.T) {
	p := planned(brew.PressMethod, 14, 210, 0, 93, 140*time.Second)
	for _, by := range []time.Duration{10 * time.Second, -10 * time.Second} {
		steep, _ := cup.ContactEffect(p, by)
		press, ok := cup.PressEffect(p, by)
		if !ok || press.By != by {
			t.Fatalf("%+v", press)
		}
		within(t, "the middle", press.Middle, steep.Middle/2, 1e-12)
		within(t, "the least", press.Low, min(0, steep.Low), 1e-12)
		within(t, "the most", press.High, max(0, steep.High), 1e-12)
		if !strings.Contains(press.Text, " s of pressing should move the strength by ") {
			t.Errorf("%q", press.Text)
		}
	}
	if got, ok := cup.PressEffect(planned(brew.Cone, 18, 288, 0, 93, 3*time.Minute), 10*time.Second); ok {
		t.Errorf("a cone: %+v", got)
	}
}
