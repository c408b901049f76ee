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
	slow := plan(t, "at: 1:40, press: down, over: 20 s", "at: 0:40, press: down, over: 90 s")
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
		"off, and brewed too long": {slow, []float64{0, 40, 40}, reading(190, 1.43), []string{
			"+40.0 s of contact should move the strength by +0.", "by published kinetics: an estimate", "points off its aim, and what drifted, most of it by the hands, may explain that (+0.0",
		}, []string{"of pressing"}},
		"off, and pressed too long": {p, []float64{0, 0, 60}, reading(190, 1.43), []string{
			"+60.0 s of pressing should move the strength by +0.03 points, 0.00 to +0.20 by published kinetics, for what has run out steeps no more: an estimate", "points off its aim, and what drifted, most of it by the hands, may explain that (0.00 to +0.20)",
		}, []string{"of contact"}},
		"pressed late and quickly, so that the contact was as long": {slow, []float64{0, 40, 0}, reading(190, 1.2), []string{
			"+40.0 s of contact", "-40.0 s of pressing",
		}, nil},
		"off, and not for what drifted": {p, []float64{0, 0, 5}, reading(190, 1.65), []string{"The strength is +0.30 points off its aim, and what drifted explains", "look elsewhere"}, nil},
		"through a bed, whose drift nobody can weigh": {plan(t, "method: press", "method: cone", "  - {lift: off the scale}\n", "", "{at: 1:40, press: down, over: 20 s}", "{drawdown: it runs out, over: 60 s}"), []float64{0, 30}, reading(190, 1.2), []string{
			"extraction 15.20 ± ", "by percolation", "nobody knows what such a drift does",
		}, []string{"kinetics"}},
		"no beverage, through a bed": {plan(t, "method: press", "method: cone"), nil, reading(0, 1.35), []string{"(no beverage was weighed: by what grounds usually keep)"}, nil},
		"no beverage, of a steep":    {p, onTime, reading(0, 1.35), []string{"extraction 20.53 ± "}, []string{"usually keep"}},
		"a fraction":                 {p, onTime, reading(190, 0.0135), []string{"!\nstrength 0.0135 % is too little to be true\nwrite 1.35 % for a share of 0.0135"}, []string{"±"}},
		"a method nobody knows of":   {plan(t, "method: press", "method: other"), onTime, reading(190, 1.35), []string{"strength 1.35 ± 0.03 %\nas aimed"}, []string{"%, extraction 2"}},
		"nothing read":               {p, onTime, brew.Reading{}, nil, []string{"strength"}},
		"nothing read, but too long": {slow, []float64{0, 40, 40}, brew.Reading{}, []string{"+40.0 s of contact"}, []string{"off its aim"}},
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
	got := said(tasted.Lines(d, p, reading(190, 1.25)))
	if !strings.Contains(got, "most of it by the hands") {
		t.Errorf("15 g too much explain nothing:\n%s", got)
	}
	// 1.25/98.75 of 240 g are 20.25 % of 15 g: more water of one strength holds
	// more of the coffee. By the recipe's 225 g it would be 18.99 %.
	if !strings.Contains(got, "extraction 20.25 ±") {
		t.Errorf("the extraction is that of the written water:\n%s", got)
	}
	if past := tasted.Past(d, p, "", nil, reading(190, 1.25)); math.Abs(float64(past.Extraction)-20.253) > 0.001 {
		t.Errorf("a regression is told %v %%", past.Extraction)
	}
	if p.Water != 225*brew.Gram {
		t.Error("the plan itself was changed")
	}
}

// A press and what came before it are told apart, each by whose doing it was.
func TestAPressIsNotTheSteep(t *testing.T) {
	p := plan(t, "at: 1:40, press: down, over: 20 s", "at: 0:40, press: down, over: 90 s")
	for name, c := range map[string]struct {
		late      []float64
		says, not string
	}{
		"a long press explains at most as much as a long steep":    {[]float64{0, 0, 60}, "may explain that (0.00 to +0.1", "explains"},
		"a steep that ran long is the hands' that began the press": {[]float64{0, 40, 40}, "most of it by the hands, may explain that (+0.0", "pressing"},
		"a steep too short is not made up for by a press too long": {[]float64{0, -18, 0}, "-18.0 s of contact", "brewed as written"},
	} {
		got := said(tasted.Lines(brewed(t, p, c.late...), p, reading(190, 1.43)))
		if !strings.Contains(got, c.says) || strings.Contains(got, c.not) {
			t.Errorf("%s:\n%s", name, got)
		}
	}
}

// The wait is counted down by whole minutes, and every figure of it in the same
// moment; it ends when the cup has cooled for good.
func TestTheWaitIsCountedDown(t *testing.T) {
	p := plan(t)
	for _, c := range []struct {
		since time.Duration
		want  string
		next  time.Duration
	}{
		{0, "to drink at 60 °C: in about 18 min (12 to 25); an estimate", time.Minute},
		{-time.Second, "to drink at 60 °C: in about 18 min (12 to 25); an estimate", time.Minute},
		{time.Minute - 1, "to drink at 60 °C: in about 18 min (12 to 25); an estimate", time.Minute},
		{time.Minute, "to drink at 60 °C: in about 17 min (11 to 24); an estimate", 2 * time.Minute},
		{12*time.Minute - 1, "to drink at 60 °C: in about 7 min (1 to 14); an estimate", 12 * time.Minute},
		{12 * time.Minute, "to drink now, as two in three like it; at 60 °C in about 6 min; an estimate", 13 * time.Minute},
		{18 * time.Minute, "to drink now, as most like it; for about 7 min; an estimate", 19 * time.Minute},
		{25*time.Minute - 1, "to drink now, as most like it; for about 1 min; an estimate", 25 * time.Minute},
		{25 * time.Minute, "the cup is colder by now than most like it; an estimate", 0},
		{25 * time.Hour, "the cup is colder by now than most like it; an estimate", 0},
	} {
		text, next, goesOn := tasted.Waiting(p, c.since)
		if text != c.want || next != c.next || goesOn != (c.next > 0) {
			t.Errorf("after %v: %q, %v, %t", c.since, text, next, goesOn)
		}
	}
	if text, _, goesOn := tasted.Waiting(plan(t, "temperature: 93 °C", "temperature: 40 °C"), 0); text != "" || goesOn {
		t.Errorf("a cold brew: %q", text)
	}
}

func TestWhatIsKnownAhead(t *testing.T) {
	p := plan(t)
	kettle, err := cup.Kept(40*time.Minute, 2*time.Minute)
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		plan   *brew.Plan
		boils  brew.Celsius
		kettle cup.Kettle
		says   []string
	}{
		"at the sea":        {p, 0, cup.Kettle{}, []string{"aim: 1.35 % strength, 20.5 % extraction", "expect: 1.", "water boils at 100 °C at the sea; to 93 °C it rests 2:46 to 8:19 off the boil, by the kettle, which nobody calibrated (common practice: 30 s)"}},
		"up a hill":         {p, 95, cup.Kettle{}, []string{"water boils at 95 °C here; to 93 °C it rests 0:49 to 2:27"}},
		"with a kettle":     {p, 0, kettle, []string{"to 93 °C it rests 3:41 (3:20 to 4:03) off the boil, by the kettle as it was calibrated"}},
		"too high":          {p, 91, cup.Kettle{}, []string{"water boils at 91 °C here, so that it cannot have 93 °C"}},
		"at the boil":       {plan(t, "temperature: 93 °C", "temperature: 100 °C"), 0, cup.Kettle{}, []string{"water boils at 100 °C at the sea: pour at once"}},
		"without aim":       {plan(t, "aim: {strength: 1.35 %, extraction: 20.5 %}\n", ""), 0, cup.Kettle{}, []string{"expect: 1."}},
		"of another method": {plan(t, "method: press", "method: other"), 0, cup.Kettle{}, []string{"aim: 1.35 % strength, 20.5 % extraction\nwater boils"}},
	} {
		got := strings.Join(tasted.Ahead(c.plan, c.boils, c.kettle), "\n")
		for _, text := range c.says {
			if !strings.Contains(got, text) {
				t.Errorf("%s: no %q in\n%s", name, text, got)
			}
		}
	}
}

// A bed that settled late before a press, and hands that pressed too long: each
// is set down to whose it was, and what the hands did in the press is no part of
// the steep.
func TestABedBeforeAPress(t *testing.T) {
	p := plan(t, "  - {lift: off the scale}\n  - {at: 1:40, press: down, over: 20 s}", "  - {drawdown: it settles, over: 40 s}\n  - {press: down, over: 60 s}")
	for _, c := range []struct {
		late []float64
		want string
	}{{[]float64{0, 25, 40}, "most of it by the bed"}, {[]float64{0, 4, 50}, "most of it by the hands"}} {
		got := said(tasted.Lines(brewed(t, p, c.late...), p, reading(190, 1.43)))
		if !strings.Contains(got, c.want) || !strings.Contains(got, " of contact should") || !strings.Contains(got, " of pressing should") {
			t.Errorf("late by %v: no %q in\n%s", c.late, c.want, got)
		}
	}
}
