package main

import (
	"errors"
	"math"

	"barline/brew/cup"

	"github.com/spf13/cobra"
)

// newCup returns the command that works a cup out, with the quick answers
// below it.
func newCup(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "cup [RECIPE]",
		Short: "work out a cup: strength, extraction, water, its temperature",
		Long: "cup opens a page of fields: what is known is typed, the rest is worked out as you\n" +
			"type. With a recipe it starts from its dose, water, method and aim. The commands\n" +
			"below answer one question each, without a page.\n\n" +
			"Quantities may carry their unit: g, kg, oz, ml, l, %, °C, °F, m, ft, hPa, s, min,\n" +
			"m:ss. Without one grams, per cent, °C, metres, hPa and seconds are meant.",
		Args:              cobra.MaximumNArgs(1),
		ValidArgsFunction: a.completeRecipes(),
		RunE:              func(_ *cobra.Command, args []string) error { return a.cupPage(args) },
	}
	for _, answer := range []*cobra.Command{
		newCupExtraction(a), newCupStrength(a), newCupDilute(a), newCupWater(a), newCupDensity(a), newCupRest(a), newCupSlurry(a), newCupExpect(a),
	} {
		cmd.AddCommand(a.checkOutput(answer))
	}
	return cmd
}

// slipped returns the error for figures that cannot be: what was left out or
// said twice is the command line's fault, what cannot be true the input's.
func slipped(err error) error {
	var s *cup.Slip
	switch {
	case !errors.As(err, &s):
		return err
	case s.Kind == cup.TooFew || s.Kind == cup.TooMany:
		return &usageError{s.Message, s.Hint}
	}
	return &inputError{s.Message, s.Hint}
}

// answer writes an answer, as JSON or in words.
func (a *app) answer(asJSON bool, v any, words ...string) error {
	if asJSON {
		return printJSON(a.stdout, v)
	}
	for _, text := range words {
		lines(a.stdout, "", text)
	}
	return nil
}

// inJSON is the help of the flag that every answer has.
const inJSON = "as JSON; null where a figure is not known, u_… the standard uncertainty"

// rounded returns a figure to so many decimals, as JSON gives it.
func rounded(x float64, decimals int) float64 {
	scale := math.Pow(10, float64(decimals))
	return math.Round(x*scale) / scale
}
