package brew_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"barline/brew"
)

// picture writes a plan's cues a line each: when, hands, what holds the
// start, the prompt, the scale before and after, the water on the coffee.
func picture(p *brew.Plan) string {
	var b strings.Builder
	for i, c := range p.Cues {
		holds := "pinned"
		if c.Pinned == brew.PinHand {
			holds = fmt.Sprintf("%s behind %d", brew.Spoken(c.After), c.Before)
		}
		if c.Assumed {
			holds += ", assumed"
		}
		fmt.Fprintf(&b, "%d %s-%s %s, %s: %s | %s > %s | %s", i, brew.Exact(c.Start), brew.Exact(c.End), c.Hands, holds,
			c.Prompt, reading(c.From, c.FromOn), reading(c.Scale, c.OnScale), c.Water)
		if c.Bypass > 0 {
			fmt.Fprintf(&b, " + %s", c.Bypass)
		}
		b.WriteString("\n")
	}
	return b.String()
}

func reading(m brew.Mass, on bool) string {
	if !on {
		return "none"
	}
	return m.String()
}

// beats writes a plan's beats a line each: when, key, the other edge, owner,
// window and whether it is asked.
func beats(p *brew.Plan) string {
	var b strings.Builder
	for _, beat := range p.Beats {
		fmt.Fprintf(&b, "%s %s", brew.Exact(beat.Due), beat.Key)
		if beat.Also != nil {
			fmt.Fprintf(&b, " = %s, %s", p.Cues[beat.Also.Cue].Key, beat.Also.Edge)
		}
		fmt.Fprintf(&b, " | %s -%s +%s", beat.Owner, brew.Spoken(beat.Window.Early), brew.Spoken(beat.Window.Late))
		if beat.Asked {
			b.WriteString(" asked")
		}
		if beat.AlsoAsked {
			b.WriteString(" twice")
		}
		b.WriteString("\n")
	}
	return b.String()
}

func TestThePressOfTheDocumentationOnTheClock(t *testing.T) {
	p := planned(t, quayside())
	sameLines(t, picture(p), `
0 0:00-0:08 busy, pinned: Pour to 50 g | 0 g > 50 g | 50 g
1 0:08-0:12 busy, 0 s behind 0: Swirl gently | 50 g > 50 g | 50 g
2 0:36-0:52 busy, pinned: Pour to 210 g | 50 g > 210 g | 210 g
3 0:52-0:56 busy, 0 s behind 2: Seal: plunger set, nothing drips | 210 g > 210 g | 210 g
4 0:56-0:58 busy, 0 s behind 3: Lift off the scale | 210 g > none | 210 g
5 1:40-1:43 busy, pinned: Open: plunger out | none > none | 210 g
6 1:43-1:48 busy, 0 s behind 5: Stir 4 turns | none > none | 210 g
7 1:48-1:52 busy, 0 s behind 6: Seal: plunger back in | none > none | 210 g
8 1:52-2:20 busy, 0 s behind 7: Press to the hiss | none > none | 210 g`)
	sameLines(t, beats(p), `
0:00 first pour, start | person -3 s +3 s
0:08 first pour, end = first swirl, start | person -3 s +3 s asked
0:12 first swirl, end | person -3 s +3 s
0:36 second pour, start | person -3 s +3 s
0:52 second pour, end = first seal, start | person -3 s +3 s asked
0:56 first seal, end = first lift, start | person -3 s +3 s
0:58 first lift, end | person -3 s +3 s
1:40 first open, start | person -3 s +3 s
1:43 first open, end = first stir, start | person -3 s +3 s
1:48 first stir, end = second seal, start | person -3 s +3 s
1:52 first press, start = second seal, end | person -2 s +5 s asked
2:20 first press, end | person -2 s +5 s asked`)
	same(t, "end", p.End, 140*s)
	same(t, "contact", p.Contact, 140*s)
	same(t, "has a contact time", p.HasContact, true)
	same(t, "masses", []brew.Mass{p.Dose, p.Water, p.Bypass}, []brew.Mass{14 * g, 210 * g, 0})
	same(t, "temperature and aim", []any{p.Temperature, p.Aim}, []any{brew.Celsius(93), brew.Aim{Strength: 1.4, Extraction: 20}})
	same(t, "words", []string{p.Name, string(p.Method), p.Coffee, p.Grind, p.Cues[0].Label, p.Cues[2].Why},
		[]string{"Quayside press", "press", "washed, medium-light", "medium-fine, a little finer than for a cone", "bloom", "an even spiral keeps the bed level"})
	same(t, "prepare", p.Prepare, []brew.Chore{
		{Do: "Rinse one paper filter with 60 g, empty the server"}, {Do: "Dose 14 g, level the bed, tare", Over: 20 * s}})
	same(t, "afterwards", p.Afterwards, []brew.Chore{{Do: "Swirl, let it cool before tasting"}})
	same(t, "length of the main pour", p.Cues[2].Length(), 16*s)
}

func TestEveryTextIsFilledIn(t *testing.T) {
	r := quayside()
	r.Coffee, r.Lot, r.Setting, r.Grind = "{dose} of it", "lot {dose}", "{water}", "for {dose} and {water}"
	r.Steps[1] = brew.Step{Action: brew.Do, Text: " swirl {dose} ", Label: "{water}", Why: "{dose}!", Caution: "{water}, {water}"}
	p := planned(t, r)
	c := p.Cues[1]
	same(t, "texts", []string{p.Coffee, p.Lot, p.Setting, p.Grind, c.Prompt, c.Label, c.Why, c.Caution},
		[]string{"14 g of it", "lot 14 g", "210 g", "for 14 g and 210 g", "swirl 14 g", "210 g", "14 g!", "210 g, 210 g"})
}

func TestPlans(t *testing.T) {
	for _, test := range []struct {
		name   string
		recipe brew.Recipe
		want   string
	}{
		{"a tare sets the reading to zero, a lift and a flip take it away", method(brew.InvertedPress,
			pour(50, 10), act(brew.Tare, "", 0), pour(60, 10), act(brew.Lift, "", 0), act(brew.Tare, "again", 0), to(100, 10),
			act(brew.Seal, "cap", 0), act(brew.Flip, "", 0), act(brew.Press, "", 20)), `
0 0:00-0:10 busy, pinned: Pour 50 g | 0 g > 50 g | 50 g
1 0:10-0:12 busy, 0 s behind 0: Tare | 50 g > 0 g | 50 g
2 0:12-0:22 busy, 0 s behind 1: Pour 60 g | 0 g > 60 g | 110 g
3 0:22-0:24 busy, 0 s behind 2: Lift | 60 g > none | 110 g
4 0:24-0:26 busy, 0 s behind 3: Tare again | none > 0 g | 110 g
5 0:26-0:36 busy, 0 s behind 4: Pour to 100 g | 0 g > 100 g | 210 g
6 0:36-0:40 busy, 0 s behind 5: Seal: cap | 100 g > 100 g | 210 g
7 0:40-0:44 busy, 0 s behind 6: Flip | 100 g > none | 210 g
8 0:44-1:04 busy, 0 s behind 7: Press | none > none | 210 g`},
		{"a length that was left out is the usual one, by flow for water", method(brew.OtherMethod,
			pour(60, 0), pour(0.1, 0), to(200, 0), act(brew.Stir, "", 0), act(brew.Skim, "", 0), act(brew.Do, "smell", 0),
			brew.Step{Action: brew.Bypass, Amount: 61 * g}, act(brew.Serve, "", 0), act(brew.Break, "", 0),
			act(brew.Press, "", 0), act(brew.Taste, "slowly", 0), act(brew.Wait, "", 90)), `
0 0:00-0:10 busy, pinned, assumed: Pour 60 g | 0 g > 60 g | 60 g
1 0:10-0:11 busy, 0 s behind 0, assumed: Pour 0.1 g | 60 g > 60.1 g | 60.1 g
2 0:11-0:35 busy, 0 s behind 1, assumed: Pour to 200 g | 60.1 g > 200 g | 200 g
3 0:35-0:39 busy, 0 s behind 2: Stir | 200 g > 200 g | 200 g
4 0:39-0:49 busy, 0 s behind 3: Skim | 200 g > 200 g | 200 g
5 0:49-0:54 busy, 0 s behind 4: smell | 200 g > 200 g | 200 g
6 0:54-1:05 busy, 0 s behind 5, assumed: Bypass 61 g | 200 g > 261 g | 200 g + 61 g
7 1:05-1:10 busy, 0 s behind 6: Serve | 261 g > 261 g | 200 g + 61 g
8 1:10-1:18 busy, 0 s behind 7: Break | 261 g > 261 g | 200 g + 61 g
9 1:18-1:43 busy, 0 s behind 8, assumed: Press | 261 g > 261 g | 200 g + 61 g
10 1:43-2:43 free, 0 s behind 9: Taste: slowly | 261 g > 261 g | 200 g + 61 g
11 2:43-4:13 free, 0 s behind 10: Wait 1 min 30 s | 261 g > 261 g | 200 g + 61 g`},
		{"what follows a swirl pinned inside a drawdown waits for the drawdown", method(brew.Cone,
			pour(200, 20), act(brew.Drawdown, "", 60), pinned(30, act(brew.Swirl, "", 4)), act(brew.Serve, "", 5)), `
0 0:00-0:20 busy, pinned: Pour 200 g | 0 g > 200 g | 200 g
1 0:20-1:20 free, 0 s behind 0: Drawdown | 200 g > 200 g | 200 g
2 0:30-0:34 busy, pinned: Swirl | 200 g > 200 g | 200 g
3 1:20-1:25 busy, 0 s behind 1: Serve | 200 g > 200 g | 200 g`},
		{"what follows a swirl that outlasts the drawdown waits for the swirl", method(brew.Cone,
			pour(200, 20), act(brew.Drawdown, "bed flat", 60), pinned(76, act(brew.Swirl, "", 8)), after(2, act(brew.Serve, "", 5))), `
0 0:00-0:20 busy, pinned: Pour 200 g | 0 g > 200 g | 200 g
1 0:20-1:20 free, 0 s behind 0: Drawdown: bed flat | 200 g > 200 g | 200 g
2 1:16-1:24 busy, pinned: Swirl | 200 g > 200 g | 200 g
3 1:26-1:31 busy, 2 s behind 2: Serve | 200 g > 200 g | 200 g`},
		{"a swirl that ends with the drawdown is what the next step hangs behind", method(brew.Cone,
			pour(200, 20), act(brew.Drawdown, "", 60), pinned(76, act(brew.Swirl, "", 4)), act(brew.Serve, "", 5)), `
0 0:00-0:20 busy, pinned: Pour 200 g | 0 g > 200 g | 200 g
1 0:20-1:20 free, 0 s behind 0: Drawdown | 200 g > 200 g | 200 g
2 1:16-1:20 busy, pinned: Swirl | 200 g > 200 g | 200 g
3 1:20-1:25 busy, 0 s behind 2: Serve | 200 g > 200 g | 200 g`},
		{"hands can be said to be free", method(brew.OtherMethod, pour(200, 20),
			brew.Step{Action: brew.Press, Over: 30 * s, Hands: brew.Free}, pinned(25, brew.Step{Action: brew.Taste, Hands: brew.Busy})), `
0 0:00-0:20 busy, pinned: Pour 200 g | 0 g > 200 g | 200 g
1 0:20-0:50 free, 0 s behind 0: Press | 200 g > 200 g | 200 g
2 0:25-1:25 busy, pinned: Taste | 200 g > 200 g | 200 g`},
	} {
		t.Run(test.name, func(t *testing.T) { sameLines(t, picture(planned(t, test.recipe)), test.want) })
	}
}

func TestBeats(t *testing.T) {
	wide, narrow, lopsided := window(9, 9), window(1, 1), window(0, 20)
	two := func(end, start brew.Marks) brew.Recipe {
		return method(brew.OtherMethod, marking(end, within(nil, wide, pour(200, 20))), marking(start, within(lopsided, nil, act(brew.Stir, "", 5))))
	}
	for _, test := range []struct {
		name   string
		recipe brew.Recipe
		want   string // of the beats; the first start is left out
	}{
		{"a shared beat that nobody asks is the end's", two(brew.MarkNone, brew.MarkEnd), `
0:20 first pour, end = first stir, start | person -9 s +9 s
0:25 first stir, end | person -3 s +3 s asked`},
		{"a shared beat asked as an end is the end's", two(brew.MarkEnd, brew.MarkNone), `
0:20 first pour, end = first stir, start | person -9 s +9 s asked
0:25 first stir, end | person -3 s +3 s`},
		{"a shared beat asked as a start is the start's", two(brew.MarkStart, brew.MarkStart), `
0:20 first stir, start = first pour, end | person -0 s +20 s asked
0:25 first stir, end | person -3 s +3 s`},
		{"a shared beat asked as both is the end's, in the narrower window of each side", two(brew.MarkBoth, brew.MarkBoth), `
0:20 first pour, end = first stir, start | person -0 s +9 s asked twice
0:25 first stir, end | person -3 s +3 s asked`},
		{"a step behind a gap has a start of its own", method(brew.OtherMethod, pour(200, 20), after(2, act(brew.Press, "", 20))), `
0:20 first pour, end | person -3 s +3 s asked
0:22 first press, start | person -3 s +3 s asked
0:42 first press, end | person -3 s +3 s asked`},
		{"no gap at all is none", method(brew.OtherMethod, pour(200, 20), after(0, act(brew.Press, "", 20))), `
0:20 first pour, end = first press, start | person -3 s +3 s asked twice
0:40 first press, end | person -3 s +3 s asked`},
		{"a pinned start is a beat of its own, even at the end of the step before", method(brew.OtherMethod, pour(200, 20), pinned(20, act(brew.Press, "", 20))), `
0:20 first pour, end | person -3 s +3 s asked
0:20 first press, start | person -3 s +3 s asked
0:40 first press, end | person -3 s +3 s asked`},
		{"the end of a drawdown is the bed's, and beats stand in order of time", method(brew.Cone,
			pour(200, 20), act(brew.Drawdown, "", 60), pinned(30, within(narrow, narrow, act(brew.Swirl, "", 4))), act(brew.Serve, "", 5)), `
0:20 first pour, end = first drawdown, start | person -3 s +3 s asked
0:30 first swirl, start | person -1 s +1 s
0:34 first swirl, end | person -1 s +1 s
1:20 first drawdown, end = first serve, start | bed -3 s +3 s asked
1:25 first serve, end | person -3 s +3 s`},
		{"the start of a drawdown is the person's", method(brew.Cone, pour(200, 20), after(1, act(brew.Drawdown, "", 60))), `
0:20 first pour, end | person -3 s +3 s asked
0:21 first drawdown, start | person -3 s +3 s
1:21 first drawdown, end | bed -3 s +3 s asked`},
		{"a start that waits for the bed is the bed's", method(brew.Cone,
			pour(200, 20), marking(brew.MarkNone, act(brew.Drawdown, "", 60)), marking(brew.MarkStart, act(brew.Serve, "", 5))), `
0:20 first pour, end = first drawdown, start | person -3 s +3 s asked
1:20 first serve, start = first drawdown, end | bed -3 s +3 s asked
1:25 first serve, end | person -3 s +3 s`},
		{"a break asks for its start, and edges of one moment stand by cue", method(brew.Cupping,
			pour(200, 20), pinned(20, act(brew.Wait, "", 10)), pinned(30, act(brew.Break, "", 8))), `
0:20 first pour, end | person -3 s +3 s asked
0:20 first wait, start | person -3 s +3 s
0:30 first wait, end | person -3 s +3 s
0:30 first break, start | person -3 s +3 s asked
0:38 first break, end | person -3 s +3 s`},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, got, _ := strings.Cut(beats(planned(t, test.recipe)), "\n")
			sameLines(t, got, test.want)
		})
	}
}

func TestAWindowIsTheStepsElseTheRecipesElseTheBars(t *testing.T) {
	r := method(brew.OtherMethod, within(window(1, 2), nil, pour(200, 20)))
	for _, test := range []struct {
		name string
		own  *brew.Window
		bar  brew.Bar
		want brew.Window // of the end
	}{
		{"three seconds by themselves", nil, brew.Bar{}, *window(3, 3)},
		{"the bar's", nil, brew.Bar{Window: 5 * s}, *window(5, 5)},
		{"the recipe's before the bar's", window(0, 4), brew.Bar{Window: 5 * s}, *window(0, 4)},
	} {
		r.Window = test.own
		p, err := brew.NewPlan(r, test.bar)
		if err != nil {
			t.Fatal(err)
		}
		same(t, test.name, p.Beats[1].Window, test.want)
		same(t, "the step's before all", p.Beats[0].Window, *window(1, 2))
	}
}

func TestBothEdgesOfAWindowAreOnTime(t *testing.T) {
	w := *window(2, 5)
	for off, want := range map[float64]bool{-2.001: false, -2: true, 0: true, 5: true, 5.001: false} {
		same(t, fmt.Sprint(off), w.Holds(sec(off)), want)
	}
}

func TestWithMarks(t *testing.T) {
	p := planned(t, quayside())
	before := beats(p)
	asked := func(p *brew.Plan) (n, twice int) {
		for _, b := range p.Beats {
			if b.Asked {
				n++
			}
			if b.AlsoAsked {
				twice++
			}
		}
		return n, twice
	}
	for _, test := range []struct {
		policy   brew.Policy
		n, twice int
	}{{brew.MarksAsked, 4, 0}, {brew.MarksAll, 11, 6}, {brew.MarksNone, 0, 0}} {
		n, twice := asked(p.WithMarks(test.policy))
		same(t, string(test.policy), []int{n, twice}, []int{test.n, test.twice})
	}
	all := p.WithMarks(brew.MarksAll)
	same(t, "the very first start is never asked", all.Beats[0].Asked, false)
	same(t, "the plan is left as it was", beats(p), before)
	for i := range all.Beats {
		same(t, "key and window stay", []any{all.Beats[i].Key, all.Beats[i].Window}, []any{p.Beats[i].Key, p.Beats[i].Window})
	}
}

func TestABeatKnowsItsEdges(t *testing.T) {
	b := planned(t, quayside()).Beats[1]
	same(t, "edges", []bool{b.Has(0, brew.EndEdge), b.Has(1, brew.StartEdge), b.Has(0, brew.StartEdge), b.Has(1, brew.EndEdge)},
		[]bool{true, true, false, false})
}

func TestNames(t *testing.T) {
	stirs := make([]brew.Step, 115)
	for i := range stirs {
		stirs[i] = act(brew.Stir, "", 5)
	}
	stirs[1].Label, stirs[2].ID = "crust", "third-turn"
	p := planned(t, method(brew.OtherMethod, append([]brew.Step{pour(200, 20)}, stirs...)...))
	for cue, want := range map[int][2]string{
		0: {"pour", "first pour"}, 1: {"first stir", "first stir"}, 2: {"crust", "second stir"}, 3: {"third stir", "third-turn"},
		10: {"tenth stir", "tenth stir"}, 11: {"11th stir", "11th stir"}, 12: {"12th stir", "12th stir"}, 13: {"13th stir", "13th stir"},
		21: {"21st stir", "21st stir"}, 22: {"22nd stir", "22nd stir"}, 23: {"23rd stir", "23rd stir"}, 24: {"24th stir", "24th stir"},
		101: {"101st stir", "101st stir"}, 111: {"111th stir", "111th stir"}, 112: {"112th stir", "112th stir"},
	} {
		same(t, want[1], [2]string{p.Cues[cue].Name, p.Cues[cue].Key}, want)
	}
	end := p.Beats[p.Cues[2].EndBeat]
	same(t, "a beat's name and key", [2]string{end.Name, end.Key}, [2]string{"crust, end", "second stir, end"})
}

func TestAFaultyRecipeHasNoPlan(t *testing.T) {
	r := quayside()
	r.Server = brew.ThinGlass // a warning, which is no hindrance
	r.Dose = 0
	_, err := brew.NewPlan(r, brew.Bar{})
	var faults brew.Faults
	if !errors.As(err, &faults) || len(faults) != 1 || faults[0].Place.Key != "dose" {
		t.Fatalf("got %v, want the fault of the dose alone", err)
	}
}
