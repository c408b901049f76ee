package cup_test

import (
	"testing"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/cup"
)

// Adiabatic mixtures, recomputed with other code to three decimals. The first
// has the inputs and the formula of a page (low grade); the others are
// invented. The glass's specific heat is from memory.
func TestMixturesGiveTheWorkedNumbers(t *testing.T) {
	for _, test := range []struct {
		what  string
		parts []cup.Part
		want  float64
	}{
		{"200 g of water on 15 g", []cup.Part{part(200, 4.18, 96), part(15, 1.2, 22)}, 94.440},
		{"250 g at 95 °C", []cup.Part{part(250, 4.2, 95), part(15, 1.5, 21)}, 93.448},
		{"250 g at 93 °C", []cup.Part{part(250, 4.2, 93), part(15, 1.5, 21)}, 91.490},
		{"a bloom of three times the dose", []cup.Part{part(45, 4.2, 95), part(15, 1.5, 21)}, 87.128},
	} {
		within(t, test.what, float64(cup.Mix(test.parts...)), test.want, 5e-4)
	}
	cold := cup.Mix(part(250, 4.21, 95), part(15, 1.5, 21), part(300, cup.GlassHeat, 21))
	warm := cup.Mix(part(250, 4.21, 95), part(15, 1.5, 21), part(300, cup.GlassHeat, 90))
	within(t, "into a cold glass", float64(cold), 79.69, 0.01)
	within(t, "into a warmed glass", float64(warm), 92.80, 0.01)
	if cup.Mix() != 0 || cup.Mix(part(0, 4.2, 95)) != 0 {
		t.Error("nothing has a temperature")
	}
}

// Schwartzberg 2002, dry: 1.246, 1.519 and 1.750 at 21, 60 and 93 °C.
func TestGroundsHeatIsSchwartzbergs(t *testing.T) {
	for at, want := range map[brew.Celsius]float64{21: 1.246, 60: 1.519, 93: 1.750} {
		within(t, "specific heat at "+at.String(), cup.GroundsHeat(at), want, 5e-4)
	}
}

func part(grams, heat float64, at brew.Celsius) cup.Part {
	return cup.Part{Grams: grams, Heat: heat, At: at}
}

func steep() cup.Steep {
	return cup.Steep{Water: 250, Kettle: 95, Dose: 15, Grounds: 21, Vessel: part(300, cup.GlassHeat, 21)}
}

func TestASlurryLiesBetweenWhatIsKnownOfIt(t *testing.T) {
	bare := steep()
	bare.Vessel = cup.Part{}
	open := must[cup.Slurry](t)(cup.SlurryOf(bare))
	within(t, "no vessel: as by 1.5 and 4.2", float64(open.At), 93.448, 0.1)
	if !(open.Low < open.At && open.At < open.High) || open.High-open.Low > 1.2 {
		t.Errorf("%+v", open)
	}
	water := must[float64](t)(cup.SpecificHeat(58))
	within(t, "the grounds of least heat", float64(open.High), float64(cup.Mix(part(250, water, 95), part(15, 1.0, 21))), 1e-9)
	within(t, "the grounds of most heat", float64(open.Low), float64(cup.Mix(part(250, water, 95), part(15, 1.9, 21))), 1e-9)
	cold := must[cup.Slurry](t)(cup.SlurryOf(steep()))
	within(t, "a cold glass, wholly", float64(cold.At), 79.7, 0.3)
	within(t, "a cold glass, not at all", float64(cold.High), float64(open.High), 1e-9)
	within(t, "a cold glass, wholly, and grounds of most heat", float64(cold.Low),
		float64(cup.Mix(part(250, water, 95), part(15, 1.9, 21), part(300, cup.GlassHeat, 21))), 1e-9)
	warmed := steep()
	warmed.Vessel.At = 90
	warm := must[cup.Slurry](t)(cup.SlurryOf(warmed))
	if !(warm.At > cold.At+10) || cold.Why == open.Why {
		t.Errorf("warmed %v, cold %v", warm, cold)
	}
}

// Nothing that is mixed gets hotter than its hottest part or colder than its
// coldest, and hotter water makes a hotter slurry.
func TestASlurryStaysBetweenItsParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := cup.Steep{
			Water: rapid.Float64Range(50, 2000).Draw(t, "water"), Kettle: brew.Celsius(rapid.Float64Range(70, 100).Draw(t, "kettle")),
			Dose: rapid.Float64Range(2, 49).Draw(t, "dose"), Grounds: brew.Celsius(rapid.Float64Range(5, 35).Draw(t, "grounds")),
		}
		if rapid.Bool().Draw(t, "in a vessel") {
			s.Vessel = part(rapid.Float64Range(1, 2000).Draw(t, "vessel"), rapid.Float64Range(0.2, 2).Draw(t, "heat"), brew.Celsius(rapid.Float64Range(5, 95).Draw(t, "at")))
		}
		out, err := cup.SlurryOf(s)
		if err != nil {
			t.Fatal(err)
		}
		least, most := s.Grounds, s.Kettle
		if s.Vessel.Grams > 0 {
			least, most = min(least, s.Vessel.At), max(most, s.Vessel.At)
		}
		if out.Low > out.At || out.At > out.High || out.Low < least-1e-9 || out.High > most+1e-9 {
			t.Fatalf("%+v of %+v", out, s)
		}
		s.Kettle -= 1
		if cooler, _ := cup.SlurryOf(s); cooler.At >= out.At {
			t.Fatalf("%v, and %v of cooler water", out.At, cooler.At)
		}
	})
}

func TestASteepThatCannotBeIsRefused(t *testing.T) {
	for what, test := range map[string]struct {
		change func(*cup.Steep)
		kind   cup.SlipKind
	}{
		"no water":       {func(s *cup.Steep) { s.Water = 0 }, cup.OutOfRange},
		"swapped":        {func(s *cup.Steep) { s.Water, s.Dose = s.Dose, s.Water }, cup.Swapped},
		"steam":          {func(s *cup.Steep) { s.Kettle = 212 }, cup.OutOfRange},
		"hot grounds":    {func(s *cup.Steep) { s.Grounds = 93 }, cup.OutOfRange},
		"heatless glass": {func(s *cup.Steep) { s.Vessel.Heat = 0 }, cup.OutOfRange},
		"joules a kg":    {func(s *cup.Steep) { s.Vessel.Heat = 840 }, cup.OutOfRange},
		"no mass":        {func(s *cup.Steep) { s.Vessel.Grams = -300 }, cup.OutOfRange},
		"a furnace":      {func(s *cup.Steep) { s.Vessel.At = 300 }, cup.OutOfRange},
	} {
		s := steep()
		test.change(&s)
		_, err := cup.SlurryOf(s)
		slipOf(t, what, err, test.kind)
	}
}
