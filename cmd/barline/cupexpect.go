package main

import (
	"fmt"

	"barline/brew/cup"

	"github.com/spf13/cobra"
)

// newCupExpect returns the command that says what a recipe should give.
func newCupExpect(a *app) *cobra.Command {
	asJSON := false
	cmd := &cobra.Command{
		Use:               "expect RECIPE",
		Short:             "what strength to expect of a recipe before it is brewed: an estimate",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeRecipes(),
		RunE: func(_ *cobra.Command, args []string) error {
			plan, _, _, err := a.planned(args[0], "")
			if err != nil {
				return err
			}
			e := cup.Expect(plan)
			known := e.Strength > 0
			return a.answer(asJSON, struct {
				Strength   *float64 `json:"strength_pct"`
				Low        *float64 `json:"low_pct"`
				High       *float64 `json:"high_pct"`
				Extraction *float64 `json:"extraction_pct"`
				Valid      bool     `json:"valid"`
				Why        string   `json:"why"`
			}{some(rounded(float64(e.Strength), 4), known), some(rounded(float64(e.Low), 4), known), some(rounded(float64(e.High), 4), known),
				some(rounded(float64(e.Extraction), 4), e.Extraction > 0), e.Valid, e.Why}, expected(plan.Name, e))
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, inJSON)
	return cmd
}

// expected says what a recipe should give.
func expected(name string, e cup.Expected) string {
	if e.Strength == 0 {
		return fmt.Sprintf("%s: nothing can be said before it is brewed: %s.", name, e.Why)
	}
	kind := "an estimate"
	if !e.Valid {
		kind = "an estimate outside of what it rests on"
	}
	return fmt.Sprintf("%s: expect %.2f %% of strength, %.2f to %.2f %%, at %.1f %% of extraction: %s; %s.", name, float64(e.Strength), float64(e.Low), float64(e.High), float64(e.Extraction), kind, e.Why)
}
