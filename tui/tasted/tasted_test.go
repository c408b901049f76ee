package tasted_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/cup"
	"barline/brew/drift"
	"barline/recipes"
	"barline/tui/tasted"
)

const press = `name: Quayside press
method: press
dose: 15 g
water: 225 g
temperature: 93 °C
grind: medium
steps:
  - {pour: to 225 g, over: 20 s}
  - {lift: off the scale}
  - {at: 1:40, press: down, over: 20 s}
aim: {strength: 1.35 %, extraction: 20.5 %}
`

func plan(t testing.TB, pairs ...string) *brew.Plan {
	t.Helper()
	d, faults := recipes.Parse("r.yaml", []byte(strings.NewReplacer(pairs...).Replace(press)))
	if len(faults.Errors()) > 0 {
		t.Fatal(faults)
	}
	p, err := brew.NewPlan(d.Recipe(), brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// brewed is the debrief of a brew whose marks come so long after its asked
// beats, in their order.
func brewed(t testing.TB, p *brew.Plan, late ...float64) drift.Debrief {
	t.Helper()
	lane := brew.NewLane(p)
	apply := func(e brew.Event) {
		lane, _ = lane.Apply(e)
	}
	apply(brew.Event{Kind: brew.EventStart})
	n := 0
	for _, b := range p.Beats {
		if b.Asked && n < len(late) {
			apply(brew.Event{Kind: brew.EventMark, At: b.Due + time.Duration(late[n]*float64(time.Second))})
			n++
		}
	}
	apply(brew.Event{Kind: brew.EventFinish, At: p.End + time.Minute})
	return drift.Conditions{Kind: drift.Service, Speed: 1}.Of(lane)
}

func reading(beverage, strength float64) brew.Reading {
	var r brew.Reading
	if beverage > 0 {
		m := brew.Mass(beverage * 1000)
		r.Beverage = &m
	}
	if strength > 0 {
		s := brew.Percent(strength)
		r.Strength = &s
	}
	return r
}

func said(lines []tasted.Line) string {
	var texts []string
	for _, l := range lines {
		if l.Care {
			texts = append(texts, "!")
		}
		texts = append(texts, l.Text)
	}
	return strings.Join(texts, "\n")
}

// 1.35/98.65 · 225/15 = 20.53 %; 1.25/98.75 · 15 = 18.99 %.
func TestLines(t *testing.T) {
	p := plan(t)
	onTime := []float64{1, 0, 0}
	for name, c := range map[string]struct {
		plan      *brew.Plan
		late      []float64
		read      brew.Reading
		says, not []string
	}{
		"as aimed": {p, onTime, reading(190, 1.35), []string{"strength 1.35 ± 0.03 %, extraction 20.53 ± 0.4", "by immersion\nas aimed (1.35 % strength, 20.5 % extraction), as far as it can be read"}, []string{"points", "may"}},
		"off, and brewed as written": {p, onTime, reading(190, 1.2), []string{
			"the extraction is 2.28 points below its aim; common practice is to grind finer, or keep it in contact longer, or use hotter water: one change at a time",
			"The strength is -0.15 points off its aim, and it was brewed as written: look at the recipe",
		}, []string{"by published kinetics"}},
		"off, and brewed too long": {p, []float64{0, 0, 60}, reading(190, 1.43), []string{
			"+60.0 s of contact should move the strength by +0.", "by published kinetics: an estimate", "points off its aim, and what drifted, most of it by the hands, may explain that",
		}, nil},
		"off, and not for what drifted": {p, []float64{0, 0, 5}, reading(190, 1.65), []string{"The strength is +0.30 points off its aim, and what drifted explains", "look elsewhere"}, nil},
		"through a bed, whose drift nobody can weigh": {plan(t, "method: press", "method: cone", "  - {lift: off the scale}\n", "", "{at: 1:40, press: down, over: 20 s}", "{drawdown: it runs out, over: 60 s}"), []float64{0, 30}, reading(190, 1.2), []string{
			"extraction 15.20 ± ", "by percolation", "nobody knows what such a drift does",
		}, []string{"kinetics"}},
		"no beverage, through a bed": {plan(t, "method: press", "method: cone"), nil, reading(0, 1.35), []string{"(no beverage was weighed: by what grounds usually keep)"}, nil},
		"a fraction":                 {p, onTime, reading(190, 0.0135), []string{"!\nstrength 0.0135 % is too little to be true\nwrite 1.35 % for a share of 0.0135"}, []string{"±"}},
		"a method nobody knows of":   {plan(t, "method: press", "method: other"), onTime, reading(190, 1.35), []string{"strength 1.35 ± 0.03 %\nas aimed"}, []string{"%, extraction 2"}},
		"nothing read":               {p, onTime, brew.Reading{}, nil, []string{"strength"}},
		"nothing read, but too long": {p, []float64{0, 0, 60}, brew.Reading{}, []string{"+60.0 s of contact"}, []string{"off its aim"}},
		"no aim":                     {plan(t, "aim: {strength: 1.35 %, extraction: 20.5 %}\n", ""), onTime, reading(190, 1.2), []string{"extraction 18.22"}, []string{"aim"}},
	} {
		got := said(tasted.Lines(brewed(t, c.plan, c.late...), c.plan, c.read))
		for _, text := range c.says {
			if !strings.Contains(got, text) {
				t.Errorf("%s: no %q in\n%s", name, text, got)
			}
		}
		for _, text := range c.not {
			if strings.Contains(got, text) {
				t.Errorf("%s: %q in\n%s", name, text, got)
			}
		}
	}
}

// A brew that was stopped has no cup.
func TestAStoppedBrewHasNoCup(t *testing.T) {
	p := plan(t)
	d := brewed(t, p, 0, 0, 60)
	d.Ending = brew.Stopped
	if got := tasted.Lines(d, p, reading(190, 1.2)); got != nil {
		t.Errorf("it has %q", said(got))
	}
}

// Whose a miss is follows the slips: a bed that settles slowly is not the
// hands', and a pour that was late is not the bed's.
func TestTheBedIsNotTheHands(t *testing.T) {
	p := plan(t, "method: press", "method: pot", "  - {lift: off the scale}\n  - {at: 1:40, press: down, over: 20 s}", "  - {drawdown: it settles, over: 80 s}\n  - {serve: pour off}")
	for _, c := range []struct {
		late []float64
		want string
	}{{[]float64{35, 35}, "most of it by the hands"}, {[]float64{0, 50}, "most of it by the bed"}} {
		got := said(tasted.Lines(brewed(t, p, c.late...), p, reading(190, 1.43)))
		if !strings.Contains(got, c.want) {
			t.Errorf("late by %v: no %q in\n%s", c.late, c.want, got)
		}
	}
}

// A cup of 93 °C needs about a quarter of an hour; a cold brew none.
func TestDrinking(t *testing.T) {
	if got := tasted.Drinking(plan(t)); !strings.HasPrefix(got, "to drink at 60 °C: about 18 min after the first water, 12 to 25;") {
		t.Error(got)
	}
	if got := tasted.Drinking(plan(t, "temperature: 93 °C", "temperature: 40 °C")); got != "" {
		t.Error(got)
	}
}

// What a regression is fed: a figure that was not read is 0, a drift that was
// not kept is absent.
func TestPast(t *testing.T) {
	p, kettle := plan(t), brew.Celsius(91)
	past := tasted.Past(brewed(t, p, 1, -2, 6), p, "twelve", &kettle, reading(190, 1.35))
	if past.Version != p.Version || past.Lot != "twelve" || past.Strength != 1.35 || math.Abs(float64(past.Extraction)-20.53) > 0.01 {
		t.Errorf("%+v", past)
	}
	for cause, want := range map[cup.Cause]float64{cup.Contact: 6, cup.Pressing: 8, cup.Heated: -2} {
		if got, ok := past.Drifts[cause]; !ok || math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %v, %t, wanted %v", cause, got, ok, want)
		}
	}
	if _, ok := past.Drifts[cup.Poured]; ok {
		t.Error("water that nobody weighed has a drift")
	}
	past = tasted.Past(brewed(t, p, 1), p, "", nil, brew.Reading{})
	if past.Strength != 0 || past.Extraction != 0 || len(past.Drifts) != 0 {
		t.Errorf("nothing was read or marked, but %+v", past)
	}
	// Through a bed without a beverage the extraction would only be the
	// strength again.
	cone := plan(t, "method: press", "method: cone")
	if past = tasted.Past(brewed(t, cone), cone, "", nil, reading(0, 1.35)); past.Extraction != 0 {
		t.Errorf("an extraction of %v by what grounds usually keep", past.Extraction)
	}
}

// The water counts where the last pour was weighed.
func TestWaterThatWasWeighed(t *testing.T) {
	p := plan(t)
	d := brewed(t, p, 0, 0, 0)
	for i := range d.Rows {
		if d.Rows[i].Action == brew.Pour {
			d.Rows[i].Weight = &drift.Weight{Read: 240 * brew.Gram, Target: 225 * brew.Gram, Off: 15 * brew.Gram, HasTarget: true}
		}
	}
	if got := tasted.Past(d, p, "", nil, reading(190, 1.35)).Drifts[cup.Poured]; got != 15 {
		t.Errorf("15 g too much are %v g", got)
	}
	if got := said(tasted.Lines(d, p, reading(190, 1.25))); !strings.Contains(got, "most of it by the hands") {
		t.Errorf("15 g too much explain nothing:\n%s", got)
	}
}
