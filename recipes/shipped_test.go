package recipes_test

import (
	"io/fs"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/recipes"
)

// within are the ranges that a method's shipped recipes keep to. They are
// common practice, no source, but for the cupping bowl.
type within struct {
	ratio       [2]float64 // grams of water on a gram of coffee, bypass and all
	temperature [2]brew.Celsius
	flow        [2]float64 // of every pour, in grams a second
	contact     [2]time.Duration
	total       [2]time.Duration
}

var practice = map[brew.Method]within{
	brew.PressMethod:   {[2]float64{10, 16}, [2]brew.Celsius{85, 96}, [2]float64{4, 13}, mins(1, 3), mins(1, 4)},
	brew.InvertedPress: {[2]float64{12, 16}, [2]brew.Celsius{80, 95}, [2]float64{4, 13}, mins(1.5, 4), mins(1.5, 4)},
	brew.Cone:          {[2]float64{15, 17}, [2]brew.Celsius{90, 96}, [2]float64{2.5, 8}, mins(2, 3.5), mins(2, 4)},
	brew.FlatBed:       {[2]float64{15, 17}, [2]brew.Celsius{90, 96}, [2]float64{2.5, 8}, mins(2.5, 4.5), mins(2.5, 5)},
	brew.Pot:           {[2]float64{14, 17}, [2]brew.Celsius{92, 97}, [2]float64{6, 14}, mins(4, 9), mins(5, 10)},
	// Contact of 3 to 5 minutes undisturbed and tasting from about 8 minutes on
	// are the cupping protocol's, as are the figures of the test below.
	brew.Cupping: {[2]float64{17, 18.2}, [2]brew.Celsius{92.2, 94.4}, [2]float64{6, 15}, mins(3, 5), mins(10, 30)},
}

func mins(from, to float64) [2]time.Duration {
	return [2]time.Duration{time.Duration(from * float64(time.Minute)), time.Duration(to * float64(time.Minute))}
}

func inside[T float64 | brew.Celsius | time.Duration](v T, r [2]T) bool {
	return r[0] <= v && v <= r[1]
}

func shippedEntries(t *testing.T) []recipes.Entry {
	t.Helper()
	s, err := recipes.NewShelf(nil, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return s.Entries()
}

func plan(t *testing.T, r brew.Recipe) *brew.Plan {
	t.Helper()
	p, err := brew.NewPlan(r, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestNineRecipesShipWithoutFaultOrWarning(t *testing.T) {
	entries := shippedEntries(t)
	if len(entries) != 9 {
		t.Errorf("%d recipes", len(entries))
	}
	methods, names := map[brew.Method]int{}, map[string]bool{}
	for _, e := range entries {
		if len(e.Faults) > 0 {
			t.Error(e.Faults.Text())
		}
		if names[e.Name] || !strings.HasPrefix(e.Name, "Quayside ") || !strings.HasPrefix(e.Stem, "quayside-") || !e.Shipped {
			t.Errorf("%s is called %q", e.Stem, e.Name)
		}
		names[e.Name] = true
		methods[e.Document.Recipe().Method]++
	}
	for _, m := range brew.Methods() {
		if methods[m] == 0 && m != brew.OtherMethod {
			t.Errorf("no recipe for a %s", m)
		}
	}
}

func TestShippedRecipesKeepToCommonPractice(t *testing.T) {
	for _, e := range shippedEntries(t) {
		r, p := e.Document.Recipe(), plan(t, e.Document.Recipe())
		w, known := practice[r.Method]
		if !known {
			t.Errorf("%s: no ranges for a %s", e.Stem, r.Method)
		}
		if _, ratio := r.Ratio(); !inside(ratio, w.ratio) {
			t.Errorf("%s: 1:%.1f", e.Stem, ratio)
		}
		if !inside(r.Temperature, w.temperature) {
			t.Errorf("%s: %v", e.Stem, r.Temperature)
		}
		if !p.HasContact || !inside(p.Contact, w.contact) {
			t.Errorf("%s: contact of %v", e.Stem, p.Contact)
		}
		if !inside(p.End, w.total) || p.End != e.Time {
			t.Errorf("%s: %v in all, %v on the shelf", e.Stem, p.End, e.Time)
		}
		before := brew.Mass(0)
		for _, c := range p.Cues {
			if flow := (c.Water - before).Grams() / c.Length().Seconds(); c.Action == brew.Pour && !inside(flow, w.flow) {
				t.Errorf("%s: %s at %.1f g/s", e.Stem, c.Name, flow)
			}
			if c.Assumed {
				t.Errorf("%s: the length of %s is a guess", e.Stem, c.Name)
			}
			before = c.Water
		}
	}
}

// A bloom is two to four times the dose (common practice, no source).
func TestShippedBloomsWetTheBed(t *testing.T) {
	blooms := 0
	for _, e := range shippedEntries(t) {
		r := e.Document.Recipe()
		if first := r.Steps[0]; first.Label == "bloom" {
			blooms++
			if times := float64(first.Amount) / float64(r.Dose); !inside(times, [2]float64{2, 4}) {
				t.Errorf("%s: a bloom of %.1f times the dose", e.Stem, times)
			}
		}
	}
	if blooms < 5 {
		t.Errorf("%d blooms", blooms)
	}
}

// The cupping bowl keeps to the association's protocol: 8.25 ± 0.25 g for
// 150 ml (0.055 g/ml), water at 200 ± 2 °F, a bowl of 207 to 266 ml, the crust
// broken at 4 minutes with 3 stirs, tasting from about 8 minutes on. Water at
// 93 °C has 963.28 kg/m³ (Kell 1975).
func TestTheCuppingBowlKeepsToTheProtocol(t *testing.T) {
	for _, e := range shippedEntries(t) {
		r := e.Document.Recipe()
		if r.Method != brew.Cupping {
			continue
		}
		const hot = 0.96328 // g/ml
		for _, density := range []float64{0.998, hot} {
			millilitres := r.Water.Grams() / density
			if dose := r.Dose.Grams() / millilitres * 150; !inside(dose, [2]float64{8, 8.5}) {
				t.Errorf("%.2f g for 150 ml", dose)
			}
		}
		if low, high := brew.Celsius((198-32)/1.8), brew.Celsius((202-32)/1.8); r.Temperature < low || r.Temperature > high {
			t.Errorf("%v is not within %v to %v", r.Temperature, low, high)
		}
		if filled := r.Water.Grams() / hot; filled > 266 || r.Capacity.Grams() < 207 || r.Capacity.Grams() > 266 {
			t.Errorf("%.0f ml in a bowl of %v", filled, r.Capacity)
		}
		tastings := 0
		for _, c := range plan(t, r).Cues {
			if c.Action == brew.Break && (c.Start != 4*time.Minute || !strings.Contains(c.Prompt, "3 stirs")) {
				t.Errorf("%q at %v", c.Prompt, c.Start)
			}
			if c.Action == brew.Taste {
				if tastings++; c.Start < 8*time.Minute {
					t.Errorf("tasting at %v", c.Start)
				}
			}
		}
		if tastings == 0 {
			t.Error("nobody tastes")
		}
		return
	}
	t.Error("no cupping bowl")
}

// A cup cannot be stronger than what was drawn out of the coffee allows. With
// R grams of water on a gram of coffee and 2 g of liquid kept back by each
// (common practice, no source), an aim of extraction E means a strength of
// E/(R - 2 + E) where water runs through the bed and E/(R + E) where it stands
// in it, and the bypass thins that out.
func TestShippedAimsAgreeWithTheirWater(t *testing.T) {
	const kept = 2.0
	aims := 0
	for _, e := range shippedEntries(t) {
		r := e.Document.Recipe()
		if r.Aim == (brew.Aim{}) {
			continue
		}
		aims++
		ratio, _ := r.Ratio()
		drawn := float64(r.Aim.Extraction) / 100
		strength := drawn / (ratio + drawn)
		if r.Method.Drains() {
			strength = drawn / (ratio - kept + drawn)
		}
		if bypass := r.BypassWater().Grams(); bypass > 0 {
			liquor := r.Water.Grams() + (drawn-kept)*r.Dose.Grams()
			strength *= liquor / (liquor + bypass)
		}
		if off := 100*strength - float64(r.Aim.Strength); math.Abs(off) > 0.05 {
			t.Errorf("%s: %v %% drawn out makes %.2f %%, not %v %%", e.Stem, r.Aim.Extraction, 100*strength, r.Aim.Strength)
		}
	}
	if aims < 8 {
		t.Errorf("%d aims", aims)
	}
}

func TestShippedRecipesTeachAndWarn(t *testing.T) {
	for _, e := range shippedEntries(t) {
		r := e.Document.Recipe()
		whys := 0
		for i, s := range r.Steps {
			if s.Why != "" {
				whys++
			}
			trained := strings.Contains(s.Caution, "Defer to house rules and trained practice")
			if (s.Action == brew.Press || s.Action == brew.Flip) && !trained {
				t.Errorf("%s: step %d, %s, has the caution %q", e.Stem, i+1, s.Action, s.Caution)
			}
		}
		if !strings.Contains(r.Steps[0].Caution, "Near-boiling water") {
			t.Errorf("%s: no caution at the first pour", e.Stem)
		}
		if whys < 2 || len(r.Prepare) < 3 || len(r.Afterwards) < 2 {
			t.Errorf("%s: %d whys, %d chores before, %d after", e.Stem, whys, len(r.Prepare), len(r.Afterwards))
		}
		prepared := false
		for _, c := range r.Prepare {
			prepared = prepared || strings.Contains(c.Do, "{dose}")
			if c.Over == 0 {
				t.Errorf("%s: no length for %q", e.Stem, c.Do)
			}
		}
		if !prepared {
			t.Errorf("%s: nobody weighs the dose", e.Stem)
		}
	}
}

// A figure in a shipped text that repeats one of the recipe's would go stale
// when it is changed: the dose and the water are filled in.
func TestShippedTextsDoNotRepeatDoseOrWater(t *testing.T) {
	for _, e := range shippedEntries(t) {
		r := e.Document.Recipe()
		for _, c := range append(r.Prepare, r.Afterwards...) {
			for _, stale := range []string{r.Dose.String(), r.Water.String(), r.Temperature.String()} {
				if strings.Contains(" "+c.Do, " "+stale) {
					t.Errorf("%s: %q says %s", e.Stem, c.Do, stale)
				}
			}
		}
	}
}

// Apart from comments the shipped files are what Write writes, so that they
// show how a recipe looks.
func TestShippedFilesAreCanonical(t *testing.T) {
	for _, e := range shippedEntries(t) {
		text, err := fs.ReadFile(recipes.Shipped(), e.Stem+".yaml")
		if err != nil {
			t.Fatal(err)
		}
		bare := regexp.MustCompile(`(?m)^#.*\n`).ReplaceAllString(string(text), "")
		want := string(recipes.Write(e.Document.Recipe()))
		for i, line := range strings.Split(want, "\n") {
			if got := strings.Split(bare+strings.Repeat("\n", 100), "\n")[i]; got != line {
				t.Errorf("%s:\ngot    %s\nwanted %s", e.Stem, got, line)
			}
		}
		if len(bare) != len(want) {
			t.Errorf("%s: %d bytes, wanted %d", e.Stem, len(bare), len(want))
		}
	}
}
