package brew_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"barline/brew"
)

// changed returns the press of the documentation with something changed.
func changed(change func(*brew.Recipe)) brew.Recipe {
	r := quayside()
	r.Steps = slices.Clone(r.Steps)
	change(&r)
	return r
}

// poured returns a recipe of one pour, for the checks of figures.
func poured(dose, water, seconds float64) brew.Recipe {
	r := method(brew.OtherMethod, pour(water, seconds))
	r.Dose = mass(dose)
	return r
}

// heard writes the faults that lie in a place, a line each; all for "*".
func heard(faults brew.Faults, place string) string {
	var lines []string
	for _, f := range faults {
		if place != "*" && f.Place.String() != place {
			continue
		}
		line := string(f.Severity) + ": " + f.Error()
		if f.Hint != "" {
			line += " | " + f.Hint
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, "\n")
}

// said checks a table of recipes: what is found in a place, "" for nothing.
type said struct {
	name   string
	recipe brew.Recipe
	place  string
	want   string
}

func checkAll(t *testing.T, bar brew.Bar, table []said) {
	t.Helper()
	for _, test := range table {
		t.Run(test.name, func(t *testing.T) { sameLines(t, heard(brew.Check(test.recipe, bar), test.place), test.want) })
	}
}

func TestTheDocumentationsRecipeIsInOrder(t *testing.T) {
	checkAll(t, brew.Bar{}, []said{{"at any bar", quayside(), "*", ""}})
	checkAll(t, brew.Bar{Boils: 93}, []said{{"where water boils at what it asks for", quayside(), "*", ""}})
}

func TestFiguresOfARecipe(t *testing.T) {
	text := func(n int) string { return strings.Repeat("é", n) }
	many := func(n int) brew.Recipe {
		steps := []brew.Step{pour(200, 20)}
		for len(steps) < n {
			steps = append(steps, act(brew.Stir, "", 5))
		}
		return method(brew.OtherMethod, steps...)
	}
	checkAll(t, brew.Bar{}, []said{
		{"the least dose", poured(1, 15, 2), "*", ""},
		{"less than the least dose", poured(0.999, 15, 2), "*", "error: dose: dose 0.999 g is outside 1 g to 2000 g"},
		{"the most dose", poured(2000, 30000, 3000), "*", ""},
		{"more than the most dose", poured(2000.001, 30000, 3000), "*", "error: dose: dose 2000.001 g is outside 1 g to 2000 g"},
		{"no dose", poured(0, 15, 2), "*", "error: dose: dose 0 g is outside 1 g to 2000 g"},
		{"a dose below nothing has no ratio", poured(-1.001, 15, 2), "*", "error: dose: dose -1 g is outside 1 g to 2000 g"},
		{"the most water", poured(2000, 40000, 4000), "water", "warning: water: ratio 1:20.0 is outside the usual 1:12 to 1:18 | check dose and water, or dilute with a bypass step"},
		{"more than the most water", poured(2000, 40000.001, 4000), "water", `
error: water: water 40000.001 g is outside 1 g to 40000 g
warning: water: ratio 1:20.0 is outside the usual 1:12 to 1:18 | check dose and water, or dilute with a bypass step`},
		{"less than the least water", poured(14, 0.999, 0.2), "water", `
error: water: water 0.999 g is outside 1 g to 40000 g
warning: water: ratio 1:0.1 is outside the usual 1:12 to 1:18 | check dose and water, or dilute with a bypass step`},
		{"pours that come short", changed(func(r *brew.Recipe) { r.Water = 211 * g }), "*",
			"error: water: the pours add up to 210 g, but water is 211 g | make the pours add up to water; 'to' is what the scale reads since the last tare"},
		{"no steps", brew.Recipe{Name: "x", Method: brew.Cone, Dose: 14 * g, Water: 210 * g, Temperature: 93}, "*", "error: steps: no steps"},
		{"the most steps", many(200), "*", ""},
		{"more than the most steps", many(201), "*", "error: steps: 201 steps, more than 200"},

		{"the least ratio", poured(10, 120, 10), "*", ""},
		{"the most ratio", poured(10, 180, 20), "*", ""},
		{"a hair less", poured(10, 119.999, 10), "*", "warning: water: ratio 1:11.9999 is outside the usual 1:12 to 1:18 | check dose and water, or dilute with a bypass step"},
		{"a hair more", poured(10, 180.4, 20), "*", "warning: water: ratio 1:18.04 is outside the usual 1:12 to 1:18 | check dose and water, or dilute with a bypass step"},
		{"a bypass makes up for any ratio", method(brew.OtherMethod, pour(84, 8), brew.Step{Action: brew.Bypass, Amount: 120 * g, Over: 10 * s}), "*", ""},

		{"the hottest", changed(func(r *brew.Recipe) { r.Temperature = 110 }), "*", "warning: temperature: temperature 110 °C is hotter than water boils here, 100 °C | ask for 100 °C or less"},
		{"hotter", changed(func(r *brew.Recipe) { r.Temperature = 110.1 }), "*", "error: temperature: temperature 110.1 °C is outside 0 °C to 110 °C"},
		{"boiling", changed(func(r *brew.Recipe) { r.Temperature = 100 }), "*", ""},
		{"a hair hotter than boiling", changed(func(r *brew.Recipe) { r.Temperature = 100.1 }), "*", "warning: temperature: temperature 100.1 °C is hotter than water boils here, 100 °C | ask for 100 °C or less"},
		{"none", changed(func(r *brew.Recipe) { r.Temperature = 0 }), "*", "error: temperature: temperature 0 °C is outside 0 °C to 110 °C"},
		{"no number", changed(func(r *brew.Recipe) { r.Temperature = brew.Celsius(math.NaN()) }), "*", "error: temperature: temperature NaN °C is outside 0 °C to 110 °C"},

		{"a chamber just full", changed(func(r *brew.Recipe) { r.Capacity = 224 * g }), "*", ""},
		{"a chamber too small", changed(func(r *brew.Recipe) { r.Capacity = mass(223.9) }), "*",
			"error: capacity: 210 g of water on 14 g of coffee is 224 g, but the chamber holds 223.9 g | lower dose and water, or brew in something larger"},
		{"a chamber that drains", changed(func(r *brew.Recipe) { r.Method, r.Capacity = brew.FlatBed, 100*g }), "*", ""},

		{"aims at the edge", changed(func(r *brew.Recipe) { r.Aim = brew.Aim{Strength: 30, Extraction: 40} }), "*", ""},
		{"aims beyond it", changed(func(r *brew.Recipe) { r.Aim = brew.Aim{Strength: 30.5, Extraction: 40.5} }), "*", `
error: aim: strength 30.5 % is outside 0 % to 30 % | strength is a percentage such as 1.35 %
error: aim: extraction 40.5 % is outside 0 % to 40 % | extraction is a percentage such as 20 %`},
		{"aims below nothing, or no number", changed(func(r *brew.Recipe) { r.Aim = brew.Aim{Strength: -1, Extraction: brew.Percent(math.NaN())} }), "*", `
error: aim: strength -1 % is outside 0 % to 30 % | strength is a percentage such as 1.35 %
error: aim: extraction NaN % is outside 0 % to 40 % | extraction is a percentage such as 20 %`},
		{"a window of a day", changed(func(r *brew.Recipe) { r.Window = &brew.Window{Late: brew.MostLength} }), "*", ""},
		{"a window below nothing and one past a day", changed(func(r *brew.Recipe) {
			r.Window = window(-1, 1)
			r.Steps[1].Start, r.Steps[1].End = window(-2, 0), &brew.Window{Late: brew.MostLength + 1e6}
		}), "*", `
error: window: -1 s is outside 0 s to 24 h
error: step 2, window: -2 s is outside 0 s to 24 h
error: step 2, window: 1440 min 0.001 s is outside 0 s to 24 h`},

		{"the longest name", changed(func(r *brew.Recipe) { r.Name = text(60) }), "*", ""},
		{"a longer name", changed(func(r *brew.Recipe) { r.Name = text(61) }), "*", "error: name: name has 61 characters, not 1 to 60"},
		{"no name", changed(func(r *brew.Recipe) { r.Name = "" }), "*", "error: name: name has 0 characters, not 1 to 60"},
		{"the longest words", changed(func(r *brew.Recipe) { r.Coffee, r.Grind = text(200), "for {dose} in {water}" }), "*", ""},
		{"longer words, and a figure that nobody knows", changed(func(r *brew.Recipe) {
			r.Coffee, r.Lot, r.Roasted, r.Setting, r.Grind = text(201), "{lot}", "{} {dose}", "{water} {a{b}c}", "{unclosed"
		}), "*", `
error: coffee: text has 201 characters, more than 200 | say it shorter
error: lot: unknown figure "{lot}" | use {dose} or {water}
error: roasted: unknown figure "{}" | use {dose} or {water}
error: setting: unknown figure "{b}" | use {dose} or {water}`},
	})
}

func TestChores(t *testing.T) {
	bad := []brew.Chore{{Do: "fill", Over: brew.MostLength}, {Over: -s}, {Do: "{milk}", Over: brew.MostLength + s, Float: -s}}
	checkAll(t, brew.Bar{}, []said{
		{"before and after, each in its list", changed(func(r *brew.Recipe) { r.Prepare, r.Afterwards, r.Steps[0].Why = bad, bad[1:], "{salt}" }), "*", `
error: prepare 2, do: nothing to do
error: prepare 2, over: -1 s is outside 0 s to 24 h
error: prepare 3, do: unknown figure "{milk}" | use {dose} or {water}
error: prepare 3, over: 1440 min 1 s is outside 0 s to 24 h
error: prepare 3, float: -1 s is outside 0 s to 24 h
error: step 1, why: unknown figure "{salt}" | use {dose} or {water}
error: afterwards 1, do: nothing to do
error: afterwards 1, over: -1 s is outside 0 s to 24 h
error: afterwards 2, do: unknown figure "{milk}" | use {dose} or {water}
error: afterwards 2, over: 1440 min 1 s is outside 0 s to 24 h
error: afterwards 2, float: -1 s is outside 0 s to 24 h`},
	})
}

func TestWordsOfSteps(t *testing.T) {
	do := func(text string) brew.Recipe {
		return changed(func(r *brew.Recipe) { r.Steps[1] = act(brew.Do, text, 4) })
	}
	id := func(a, b string) brew.Recipe {
		return changed(func(r *brew.Recipe) { r.Steps[1].ID, r.Steps[3].ID = a, b })
	}
	forty := strings.Repeat("é", 40)
	checkAll(t, brew.Bar{}, []said{
		{"an action that is none", changed(func(r *brew.Recipe) { r.Steps[1] = brew.Step{Action: "shake", Text: "{x}", Over: 4 * s} }), "*", `error: step 2: unknown action "shake"`},
		{"figures that nobody knows, key by key", changed(func(r *brew.Recipe) {
			r.Steps[1] = brew.Step{Action: brew.Swirl, Text: "{a}", Label: "{b}", Why: "{c}", Caution: "{d}", ID: "{e}"}
		}), "*", `
error: step 2, swirl: unknown figure "{a}" | use {dose} or {water}
error: step 2, label: unknown figure "{b}" | use {dose} or {water}
error: step 2, why: unknown figure "{c}" | use {dose} or {water}
error: step 2, caution: unknown figure "{d}" | use {dose} or {water}
error: step 2, id: unknown figure "{e}" | use {dose} or {water}`},
		{"a prompt of forty characters", do(forty), "*", ""},
		{"a longer prompt", do(forty + "x"), "*", `error: step 2, do: prompt "` + forty + `x" has 41 characters, more than 40 | put the detail under why or caution`},
		{"a prompt counts as it is filled in", do(strings.Repeat("x", 36) + "{dose}"), "*", ""},
		{"a prompt that is empty", do("  "), "*", "error: step 2, do: nothing to do"},
		{"the longest text", changed(func(r *brew.Recipe) { r.Steps[1].Why = strings.Repeat("é", 200) }), "*", ""},
		{"a longer text", changed(func(r *brew.Recipe) { r.Steps[1].Why = strings.Repeat("é", 201) }), "*", "error: step 2, why: text has 201 characters, more than 200 | say it shorter"},
		{"ids of their own", id("a", "b"), "*", ""},
		{"an id given twice", id("a", "a"), "*", `error: step 4, id: id "a" is that of step 2, too | give it an id of its own`},
		{"an id that another step has by itself", id("second pour", ""), "*", `error: step 2, id: id "second pour" is that of step 3, too | give it an id of its own`},
		{"an id that the step has by itself", id("first swirl", ""), "*", ""},
	})
}

func TestTimesOfSteps(t *testing.T) {
	cone := func(steps ...brew.Step) brew.Recipe {
		return method(brew.Cone, append([]brew.Step{pour(200, 20), act(brew.Drawdown, "", 60)}, steps...)...)
	}
	free := act(brew.Taste, "", 30)
	checkAll(t, brew.Bar{}, []said{
		{"the first step at zero", method(brew.Cone, pinned(0, pour(200, 20))), "*", ""},
		{"the first step later", method(brew.Cone, pinned(1.5, pour(200, 20))), "*",
			"error: step 1, at: the first step starts at 0:00, the moment water meets coffee, not at 0:01.5 | leave out at, and put what comes before the water under prepare"},
		{"the first step behind nothing", method(brew.Cone, after(2, pour(200, 20))), "*",
			"error: step 1, after: the first step starts at 0:00, the moment water meets coffee, not at 0:02 | leave out after, and put what comes before the water under prepare"},
		{"the first step dry", method(brew.Cone, act(brew.Open, "", 3), pour(200, 20)), "*",
			`warning: step 1, open: the clock starts when water meets coffee, but the first step is "open" | put what comes before the water under prepare`},
		{"a step at its predecessor's end", method(brew.Cone, pour(200, 20), pinned(20, act(brew.Stir, "", 5))), "*", ""},
		{"a step before it", method(brew.Cone, pour(200, 20), pinned(19.9, act(brew.Stir, "", 5))), "*",
			"error: step 2, at: stir starts at 0:19.9, but step 1, pour, runs from 0:00 to 0:20 | start it at 0:20 or later, or shorten what comes before"},
		{"a free step before it", method(brew.Cone, pour(200, 20), pinned(10, free)), "*",
			"error: step 2, at: taste starts at 0:10, but step 1, pour, runs from 0:00 to 0:20 | start it at 0:20 or later, or shorten what comes before"},
		{"a step with the free one before it", cone(pinned(20, act(brew.Swirl, "", 4))), "*", ""},
		{"a step ahead of the free one before it", cone(pinned(19, act(brew.Swirl, "", 4))), "*",
			"error: step 3, at: swirl starts at 0:19, but step 2, drawdown, runs from 0:20 to 1:20 | start it at 0:20 or later, or shorten what comes before"},
		{"two steps inside a free one, one at a time", cone(pinned(30, act(brew.Swirl, "", 4)), pinned(34, act(brew.Stir, "", 4))), "*", ""},
		{"two steps inside a free one, both at once", cone(pinned(30, act(brew.Swirl, "", 4)), pinned(33, act(brew.Stir, "", 4))), "*",
			"error: step 4, at: stir starts at 0:33, but step 3, swirl, runs from 0:30 to 0:34 | start it at 0:34 or later, or shorten what comes before"},
		{"a step behind one that was at fault", cone(pinned(30, act(brew.Swirl, "", 20)), pinned(35, act(brew.Stir, "", 4)), pinned(45, act(brew.Stir, "", 4))), "*", `
error: step 4, at: stir starts at 0:35, but step 3, swirl, runs from 0:30 to 0:50 | start it at 0:50 or later, or shorten what comes before
error: step 5, at: stir starts at 0:45, but step 3, swirl, runs from 0:30 to 0:50 | start it at 0:50 or later, or shorten what comes before`},
		{"a free step ahead of a free one", cone(pinned(40, free), pinned(39, free)), "*",
			"error: step 4, at: taste starts at 0:39, but step 3, taste, runs from 0:40 to 1:10 | start it at 0:40 or later, or shorten what comes before"},
		{"a busy step behind a free one that overtook a busy one", cone(pinned(30, act(brew.Stir, "", 20)), pinned(40, free), pinned(45, act(brew.Swirl, "", 4))), "*", `
error: step 4, at: taste starts at 0:40, but step 3, stir, runs from 0:30 to 0:50 | start it at 0:50 or later, or shorten what comes before
error: step 5, at: swirl starts at 0:45, but step 3, stir, runs from 0:30 to 0:50 | start it at 0:50 or later, or shorten what comes before`},
		{"two pours at once, hands free", method(brew.Cone, with(pour(100, 17), func(s *brew.Step) { s.Hands = brew.Free }), with(pinned(5, pour(100, 17)), func(s *brew.Step) { s.Hands = brew.Free })), "*",
			"error: step 2, at: pour starts at 0:05, but step 1 pours until 0:17: the scale tells only one at a time | start it at 0:17 or later"},
		{"a step hung into the one before", cone(after(-5, act(brew.Serve, "", 5))), "*", "error: step 3, after: -5 s is outside 0 s to 24 h"},
		{"a step past a day", cone(pinned(86400.5, act(brew.Serve, "", 5))), "*", "error: step 3, at: 1440 min 0.5 s is outside 0 s to 24 h"},
		{"a step that lasts a day", method(brew.Cone, pour(200, 20), act(brew.Wait, "", 86400)), "*", ""},
		{"a step that lasts longer", method(brew.Cone, pour(200, 20), act(brew.Wait, "", 86400.5)), "*", "error: step 2, over: 1440 min 0.5 s is outside 0 s to 24 h"},
		{"a step that lasts less than nothing", changed(func(r *brew.Recipe) { r.Steps[1].Over = -s }), "*", "error: step 2, over: -1 s is outside 0 s to 24 h"},
		{"a drawdown without a length", method(brew.Cone, pour(200, 20), act(brew.Drawdown, "", 0)), "*", "error: step 2: drawdown needs a length | say how long with over: 30 s"},
		{"a wait without a length", method(brew.Cone, pour(200, 20), act(brew.Wait, "", 0)), "*", "error: step 2: wait needs a length | say how long, such as wait: 30 s"},
	})
}

func TestWeightsOfSteps(t *testing.T) {
	bypass := func(m brew.Mass, over time.Duration) brew.Recipe {
		return method(brew.OtherMethod, pour(200, 20), brew.Step{Action: brew.Bypass, Amount: m, Over: over})
	}
	tareHint := " | put a tare step before it"
	press := func(steps ...brew.Step) brew.Recipe {
		return method(brew.InvertedPress, append(steps, act(brew.Press, "", 30))...)
	}
	checkAll(t, brew.Bar{}, []said{
		{"a pour of nothing", method(brew.Cone, pour(200, 20), pour(0, 5)), "*", "error: step 2, pour: pour of 0 g, but water only adds"},
		{"a pour of less", method(brew.Cone, pour(200, 20), brew.Step{Action: brew.Pour, Amount: -g, Over: s}), "step 2, pour", "error: step 2, pour: pour of -1 g, but water only adds"},
		{"a pour of more than there is", changed(func(r *brew.Recipe) { r.Steps[0].Amount = brew.MostWater + 1 }), "step 1, pour", "error: step 1, pour: pour of 40000.001 g is more than 40000 g"},
		{"a pour to what the scale reads", method(brew.Cone, pour(200, 20), to(200, 5)), "*",
			"error: step 2, pour: pour to 200 g, but the scale reads 200 g by then | give the scale's reading since the last tare, or the amount to add without 'to'"},
		{"a pour to less than the scale reads", method(brew.Cone, pour(60, 10), act(brew.Tare, "", 2), pour(150, 15), to(149.9, 5)), "step 4, pour",
			"error: step 4, pour: pour to 149.9 g, but the scale reads 150 g by then | give the scale's reading since the last tare, or the amount to add without 'to'"},
		{"a pour to a little more", method(brew.Cone, pour(200, 20), to(200.1, 0.05)), "*", ""},
		{"a pour behind a lift", method(brew.Cone, pour(100, 10), act(brew.Lift, "", 2), pour(100, 10)), "*", "error: step 3, pour: pour comes after the brewer left the scale, with no tare since" + tareHint},
		{"a pour behind a flip", method(brew.InvertedPress, pour(100, 10), act(brew.Seal, "", 4), act(brew.Flip, "", 4), to(100, 10)), "*", "error: step 4, pour: pour comes after the brewer left the scale, with no tare since" + tareHint},
		{"a pour behind a lift and a tare", method(brew.Cone, pour(100, 10), act(brew.Lift, "", 2), act(brew.Tare, "", 2), to(100, 10)), "*", ""},
		{"a pour too much for the chamber", changed(func(r *brew.Recipe) { r.Steps[2].Amount = 237 * g }), "step 3, pour",
			"error: step 3, pour: Pour to 237 g, but the chamber holds 250 g and 251 g with the coffee would be in it | pour less, or brew in something larger"},
		{"a pour that just fills the chamber", changed(func(r *brew.Recipe) { r.Steps[2].Amount = 236 * g }), "step 3, pour", ""},
		{"a chamber that drains is never too full", changed(func(r *brew.Recipe) { r.Method, r.Steps[2].Amount = brew.Cone, 237*g }), "step 3, pour", ""},
		{"where the whole is too much, no pour is blamed", changed(func(r *brew.Recipe) { r.Capacity = 200 * g }), "step 3, pour", ""},
		{"a bypass of nothing", bypass(0, 5*s), "*", "error: step 2, bypass: bypass of 0 g, but water only adds"},
		{"a bypass of all there is", bypass(brew.MostWater, 4000*s), "*", ""},
		{"a bypass of more", bypass(brew.MostWater+1, 4000*s), "*", "error: step 2, bypass: bypass of 40000.001 g is more than 40000 g"},
		{"a flip with a seal in force", press(pour(200, 20), act(brew.Seal, "", 4), act(brew.Stir, "", 4), act(brew.Flip, "", 4)), "*", ""},
		{"a flip with no seal", press(pour(200, 20), act(brew.Flip, "", 4)), "*", "error: step 2, flip: flip with no seal in force | put a seal step before it: hot liquor scalds"},
		{"a flip with a seal opened again", press(pour(200, 20), act(brew.Seal, "", 4), act(brew.Open, "", 4), act(brew.Flip, "", 4)), "*", "error: step 4, flip: flip with no seal in force | put a seal step before it: hot liquor scalds"},
	})
}

func TestWarnings(t *testing.T) {
	flow := func(grams, seconds float64) brew.Recipe { return poured(14, grams, seconds) }
	flowHint := " is outside the usual 2 to 15 g/s | give the water more or less time"
	least := func(a brew.Action, over float64) brew.Recipe {
		return method(brew.OtherMethod, pour(200, 20), act(brew.Lift, "", 2), act(a, "x", over))
	}
	checkAll(t, brew.Bar{Boils: 94.5}, []said{
		{"hotter than water boils at the bar", changed(func(r *brew.Recipe) { r.Temperature = 95 }), "*",
			"warning: temperature: temperature 95 °C is hotter than water boils here, 94.5 °C | ask for 94.5 °C or less"},
		{"as hot as it boils, to the tenth that is shown", changed(func(r *brew.Recipe) { r.Temperature = 94.54 }), "*", ""},
		{"a tenth hotter", changed(func(r *brew.Recipe) { r.Temperature = 94.6 }), "*",
			"warning: temperature: temperature 94.6 °C is hotter than water boils here, 94.5 °C | ask for 94.5 °C or less"},
		{"the slowest flow", flow(200, 100), "*", ""},
		{"slower", flow(200, 100.1), "*", "warning: step 1, over: a flow of 1.998 g/s" + flowHint},
		{"much slower", flow(200, 200), "*", "warning: step 1, over: a flow of 1.0 g/s" + flowHint},
		{"the fastest flow", flow(181.2, 12.08), "*", ""},
		{"faster", flow(181.3, 12.08), "*", "warning: step 1, over: a flow of 15.01 g/s" + flowHint},
		{"the flow of a pour to a reading is that of what it adds", method(brew.Cone, pour(180, 20), to(200, 1)), "*", "warning: step 2, over: a flow of 20.0 g/s" + flowHint},
		{"the flow of a bypass", method(brew.Cone, pour(180, 20), brew.Step{Action: brew.Bypass, Amount: 20 * g, Over: 20 * s}), "*", "warning: step 2, over: a flow of 1.0 g/s" + flowHint},
		{"a step with time enough", least(brew.Stir, 2), "*", ""},
		{"a step with too little", least(brew.Stir, 1.9), "*", "warning: step 3, over: stir in 1.9 s is too short to be done | give it 2 s or more"},
		{"a press with time enough", least(brew.Press, 5), "*", ""},
		{"a press with too little", least(brew.Press, 4.9), "*", "warning: step 3, over: press in 4.9 s is too short to be done | give it 5 s or more"},
		{"a skim with too little", least(brew.Skim, 2.9), "*", "warning: step 3, over: skim in 2.9 s is too short to be done | give it 3 s or more"},
		{"anything goes fast that is a do", least(brew.Do, 0.1), "*", ""},
		{"a step that needs no hands may be short", method(brew.OtherMethod, pour(200, 20), brew.Step{Action: brew.Stir, Over: s, Hands: brew.Free}), "*", ""},
		{"an assumed length that is asked", poured(14, 200, 0), "*",
			"warning: step 1, pour: the length of the pour is assumed, 34 s, and times are judged by it | say it with over: 34 s"},
		{"an assumed length that nothing is judged by", method(brew.Cone, marking(brew.MarkNone, pour(200, 0))), "*", ""},
		{"an assumed length that the next step hangs behind", method(brew.OtherMethod, pour(200, 20),
			marking(brew.MarkStart, act(brew.Press, "", 0)), act(brew.Serve, "", 5)), "step 2, press", `
warning: step 2, press: the length of the press is assumed, 25 s, and times are judged by it | say it with over: 25 s
warning: step 2, press: press with no lift before it: it would press on the scale | put {lift: off the scale} before it`},
		{"an assumed length that a pinned step follows", method(brew.Cone, marking(brew.MarkNone, pour(200, 0)), pinned(60, act(brew.Stir, "", 5))), "*", ""},
		{"an assumed length that a later step hangs behind", method(brew.OtherMethod, pour(200, 20), act(brew.Lift, "", 2),
			brew.Step{Action: brew.Press, Hands: brew.Free, Mark: brew.MarkNone}, pinned(30, act(brew.Swirl, "", 4)), act(brew.Serve, "", 5)), "*",
			"warning: step 3, press: the length of the press is assumed, 25 s, and times are judged by it | say it with over: 25 s"},
		{"a press onto thin glass", changed(func(r *brew.Recipe) { r.Server = brew.ThinGlass }), "*",
			"warning: step 9, press: press onto thin glass: it can break under the hand | press onto steel, ceramic or thick glass"},
		{"a press onto thick glass", changed(func(r *brew.Recipe) { r.Server = brew.ThickGlass }), "*", ""},
		{"a press on the scale", method(brew.PressMethod, pour(200, 20), act(brew.Press, "", 30)), "*",
			"warning: step 2, press: press with no lift before it: it would press on the scale | put {lift: off the scale} before it"},
		{"a press put back on the scale", method(brew.PressMethod, pour(200, 20), act(brew.Lift, "", 2), act(brew.Tare, "", 2), act(brew.Press, "", 30)), "*",
			"warning: step 4, press: press with no lift before it: it would press on the scale | put {lift: off the scale} before it"},
	})
}

func TestFaultsComeInTheRecipesOrder(t *testing.T) {
	r := changed(func(r *brew.Recipe) {
		r.Dose, r.Temperature, r.Name = 0, 0, ""
		r.Prepare, r.Afterwards = []brew.Chore{{}}, []brew.Chore{{}}
		r.Server, r.Steps[1].Text = brew.ThinGlass, "{x}"
	})
	faults := brew.Check(r, brew.Bar{})
	var places []string
	for _, f := range faults {
		places = append(places, f.Place.String())
	}
	same(t, "places", places, []string{"dose", "temperature", "name", "prepare 1, do", "step 2, swirl", "step 9, press", "afterwards 1, do"})
	same(t, "errors and warnings", []int{len(faults.Errors()), len(faults.Warnings())}, []int{6, 1})
	same(t, "the list as an error", strings.Count(faults.Error(), "\n"), 6)
	same(t, "a fault of the whole", brew.Fault{Message: "all of it"}.Error(), "all of it")
}
