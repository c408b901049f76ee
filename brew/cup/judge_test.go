package cup_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/cup"
)

// late is a contact that was too long, of which the hands made so many
// seconds and the bed so many.
func late(by, person, bed float64, effect cup.Range) cup.Drifted {
	return cup.Drifted{Cause: cup.Contact, By: by, Off: true, Person: person, Bed: bed, Effect: effect}
}

func inside(d cup.Drifted) cup.Drifted {
	d.Off = false
	return d
}

func TestACupIsSetDownToWhoseItWas(t *testing.T) {
	known := cup.Range{Low: 0.004, High: 0.006} // points a second
	vague := cup.Range{Low: 0.000, High: 0.006}
	read := func(x float64) cup.Quantity { return cup.Quantity{Value: x, U: 0.02} }
	for _, test := range []struct {
		what   string
		read   cup.Quantity
		aim    float64
		drifts []cup.Drifted
		whose  cup.Whose
		sure   bool
		says   string
	}{
		{"no reading", cup.Quantity{}, 1.35, []cup.Drifted{late(30, 30, 0, known)}, cup.NotKnown, false, "takes a reading and an aim"},
		{"no aim", read(1.5), 0, []cup.Drifted{late(30, 30, 0, known)}, cup.NotKnown, false, "takes a reading and an aim"},
		{"no marks", read(1.5), 1.35, nil, cup.NotKnown, false, "nothing was marked"},
		{"on its aim", read(1.37), 1.35, []cup.Drifted{late(30, 30, 0, known)}, cup.AsAimed, false, "as aimed"},
		{"on the edge of what matters", read(1.40), 1.35, []cup.Drifted{late(30, 30, 0, known)}, cup.AsAimed, false, "as aimed"},
		{"just past that edge", read(1.41), 1.35, []cup.Drifted{late(30, 30, 0, known)}, cup.OfPerson, true, "by the hands"},
		{"within what can be read", cup.Quantity{Value: 1.41, U: 0.04}, 1.35, []cup.Drifted{late(30, 30, 0, known)}, cup.AsAimed, false, "as aimed"},
		{"brewed as written", read(1.5), 1.35, []cup.Drifted{inside(late(2, 2, 0, known))}, cup.OfRecipe, false, "+0.15 points off its aim, and it was brewed as written: look at the recipe"},
		{"late hands", read(1.5), 1.35, []cup.Drifted{late(30, 25, 5, known)}, cup.OfPerson, true, "most of it by the hands, explains that (+0.12 to +0.18)"},
		{"late hands, vaguely", read(1.5), 1.35, []cup.Drifted{late(30, 25, 5, vague)}, cup.OfPerson, false, "may explain"},
		{"a slow bed", read(1.5), 1.35, []cup.Drifted{late(30, 5, 25, known)}, cup.OfBed, true, "most of it by the bed"},
		{"a quick bed", read(1.2), 1.35, []cup.Drifted{late(-30, -5, -25, known)}, cup.OfBed, true, "-0.15 points"},
		{"too much water", read(1.2), 1.35, []cup.Drifted{{Cause: cup.Poured, By: 20, Off: true, Person: 20, Effect: cup.Range{Low: -0.008, High: -0.005}}}, cup.OfPerson, true, "by the hands"},
		{"the wrong way", read(1.2), 1.35, []cup.Drifted{late(30, 25, 5, known)}, cup.OfNone, false, "look elsewhere"},
		{"too little", read(1.7), 1.35, []cup.Drifted{late(10, 10, 0, known)}, cup.OfNone, false, "look elsewhere"},
		{"of neither", read(1.5), 1.35, []cup.Drifted{late(30, 0, 0, known)}, cup.OfNone, false, "neither hands nor bed"},
		{"mostly carried in", read(1.5), 1.35, []cup.Drifted{late(30, 14, 0, known)}, cup.OfNone, false, "for the most part of neither"},
		{"what was off went the other way", read(1.5), 1.35, []cup.Drifted{
			inside(late(30, 30, 0, known)), {Cause: cup.Poured, By: 5, Off: true, Person: 1, Effect: cup.Range{Low: -0.002, High: -0.001}},
		}, cup.OfNone, false, "for the most part of neither"},
		{"half of it the hands'", read(1.5), 1.35, []cup.Drifted{late(30, 15, 0, known)}, cup.OfPerson, true, "by the hands"},
		{"half and half", read(1.5), 1.35, []cup.Drifted{late(30, 15, 15, known)}, cup.OfBed, true, "by the bed"},
		{"a drift that nobody knows", read(1.5), 1.35, []cup.Drifted{late(30, 30, 0, cup.Range{})}, cup.NotKnown, false, "nobody knows"},
		{"hands against the bed", read(1.5), 1.35, []cup.Drifted{late(30, -10, 40, known)}, cup.OfBed, true, "by the bed"},
		{"two drifts that undo each other", read(1.5), 1.35, []cup.Drifted{
			late(30, 30, 0, known), {Cause: cup.Poured, By: 25, Off: true, Person: 25, Effect: cup.Range{Low: -0.008, High: -0.006}},
		}, cup.OfNone, false, "look elsewhere"},
	} {
		v := cup.Judge(cup.Cup{Reading: cup.Strength, Read: test.read, Aim: test.aim, Drifts: test.drifts})
		if v.Whose != test.whose || v.Sure != test.sure || !strings.Contains(v.Text, test.says) || !strings.HasSuffix(v.Text, ".") {
			t.Errorf("%s: %+v, want %q", test.what, v, test.whose)
		}
	}
	v := cup.Judge(cup.Cup{Reading: cup.Extraction, Read: cup.Exactly(20.4), Aim: 20, Drifts: []cup.Drifted{late(30, 30, 0, known)}})
	if v.Whose != cup.AsAimed {
		t.Errorf("0.4 points of extraction: %+v", v)
	}
	v = cup.Judge(cup.Cup{Reading: cup.Extraction, Read: cup.Exactly(20.6), Aim: 20, Drifts: []cup.Drifted{inside(late(3, 3, 0, known))}})
	if v.Whose != cup.OfRecipe {
		t.Errorf("0.6 points of extraction: %+v", v)
	}
}

// A cup and its mirror image, weak for strong and early for late, are set down
// to the same.
func TestVerdictsHaveNoFavouriteSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string) float64 { return rapid.Float64Range(-30, 30).Draw(t, name) }
		miss := rapid.Float64Range(-0.4, 0.4).Draw(t, "miss")
		low := rapid.Float64Range(-0.01, 0.01).Draw(t, "low")
		d := late(f("by"), f("person"), f("bed"), cup.Range{Low: low, High: low + rapid.Float64Range(0, 0.01).Draw(t, "width")})
		d.Off = rapid.Bool().Draw(t, "off")
		m := d
		m.By, m.Person, m.Bed = -d.By, -d.Person, -d.Bed
		a := cup.Judge(cup.Cup{Reading: cup.Strength, Read: cup.Exactly(2 + miss), Aim: 2, Drifts: []cup.Drifted{d}})
		b := cup.Judge(cup.Cup{Reading: cup.Strength, Read: cup.Exactly(2 - miss), Aim: 2, Drifts: []cup.Drifted{m}})
		if a.Whose != b.Whose || a.Sure != b.Sure {
			t.Fatalf("%+v and %+v", a, b)
		}
		within(t, "explained", a.Explained.Low, -b.Explained.High, 1e-12)
	})
}

// Nobody is blamed for a bed, whatever it did.
func TestABedNeverCountsAgainstAPerson(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bed := rapid.Float64Range(-60, 60).Draw(t, "bed")
		low := rapid.Float64Range(-0.01, 0.01).Draw(t, "effect")
		v := cup.Judge(cup.Cup{
			Reading: cup.Strength, Read: cup.Exactly(rapid.Float64Range(0.8, 2).Draw(t, "read")), Aim: 1.35,
			Drifts: []cup.Drifted{late(bed, 0, bed, cup.Range{Low: low, High: low + 0.004})},
		})
		if v.Whose == cup.OfPerson {
			t.Fatalf("%+v", v)
		}
	})
}

func TestMovesMendTheExtractionFirst(t *testing.T) {
	aim := brew.Aim{Strength: 1.35, Extraction: 20}
	read := cup.Exactly
	for _, test := range []struct {
		what                 string
		strength, extraction cup.Quantity
		aim                  brew.Aim
		first                string
		moves                int
	}{
		{"too little came out", read(1.2), read(18), aim, "grind finer", 3},
		{"too much came out", read(1.5), read(22), aim, "grind coarser", 3},
		{"enough came out, into too much water", read(1.2), read(20.2), aim, "use more coffee for the water", 1},
		{"enough came out, into too little", read(1.5), read(19.8), aim, "use less coffee for the water", 1},
		{"only the strength was read", read(1.2), cup.Quantity{}, aim, "use more coffee for the water", 1},
		{"as aimed", read(1.36), read(20.3), aim, "", 0},
		{"nothing was read", cup.Quantity{}, cup.Quantity{}, aim, "", 0},
		{"no aim", read(1.2), read(18), brew.Aim{}, "", 0},
		{"off by less than can be read", read(1.35), cup.Quantity{Value: 19, U: 0.6}, aim, "", 0},
	} {
		moves := cup.Moves(test.strength, test.extraction, test.aim)
		if len(moves) != test.moves || test.moves > 0 && moves[0].Do != test.first {
			t.Errorf("%s: %+v", test.what, moves)
		}
	}
	if moves := cup.Moves(read(1.2), read(18), aim); moves[0].Why != "the extraction is 2 points below its aim" || moves[1].Do != "keep it in contact longer" || moves[2].Do != "use hotter water" {
		t.Errorf("%+v", moves)
	}
	if moves := cup.Moves(read(1.5), read(22.5), aim); moves[0].Why != "the extraction is 2.5 points above its aim" || moves[2].Do != "use cooler water" {
		t.Errorf("%+v", moves)
	}
}
