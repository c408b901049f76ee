package pages

import (
	"fmt"

	"barline/brew"
	"barline/brew/cup"
	"barline/tui/draw"
	"barline/tui/tasted"
)

// cup is the sheet's part on what the recipe is for: the aim, the strength to
// expect, and where water boils here.
func (s Sheet) cup() []sheetLine {
	out := []sheetLine{{draw.Fit("the cup", s.width), draw.Faint}}
	for _, text := range []string{aimWords(s.recipe.Recipe.Aim), expectWords(s.recipe.Plan), boilWords(s.recipe.Boils, s.recipe.Plan.Temperature)} {
		if text != "" {
			out = append(out, s.wrapped(draw.Plain, "  ", text)...)
		}
	}
	return out
}

// care is the words of care that hold for every recipe of the kind. Those of
// the recipe itself stand above.
func (s Sheet) care() []sheetLine {
	cautions := cup.Cautions(s.recipe.Plan, s.recipe.Recipe.Server)
	if len(cautions) == 0 {
		return nil
	}
	out := []sheetLine{{draw.Fit("take care", s.width), draw.Faint}}
	for _, text := range cautions {
		out = append(out, s.wrapped(draw.Caution, "  ", text)...)
	}
	return out
}

// aimWords says what a recipe aims at, "" for nothing.
func aimWords(aim brew.Aim) string {
	if words := tasted.Aim(aim); words != "" {
		return "aim: " + words
	}
	return ""
}

// expectWords says what strength to expect, "" where nobody can.
func expectWords(p *brew.Plan) string {
	if words := cup.Expect(p).Words(); words != "" {
		return "expect: " + words
	}
	return ""
}

// boilWords says where water boils here and how long it rests from there to a
// temperature. Where the bar is not known it is taken to be at the sea.
func boilWords(boils, to brew.Celsius) string {
	where := "here"
	if boils == 0 {
		boils, _ = cup.BoilsAt(0)
		where = "at the sea"
	}
	text := fmt.Sprintf("water boils at %s %s", boils, where)
	rest, err := cup.RestFor(boils, to, cup.UsualAir, cup.Kettle{})
	switch {
	case to > boils:
		return text + fmt.Sprintf(", so that it cannot have %s", to)
	case err != nil:
		return text
	}
	return text + fmt.Sprintf("; to %s it rests %s off the boil, by the kettle (common practice: %.0f s)", to, rest.Words(), cup.HalfMinute.Seconds())
}
