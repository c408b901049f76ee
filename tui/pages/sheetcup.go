package pages

import (
	"barline/brew"
	"barline/brew/cup"
	"barline/tui/draw"
	"barline/tui/tasted"
)

// cup is the sheet's part on what the recipe is for: the aim, the strength to
// expect, and where water boils here.
func (s Sheet) cup() []sheetLine {
	out := []sheetLine{{draw.Fit("the cup", s.width), draw.Faint}}
	for _, text := range tasted.Ahead(s.recipe.Plan, s.recipe.Boils, s.recipe.Cools) {
		out = append(out, s.wrapped(draw.Plain, "  ", text)...)
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
