package main

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"barline/brew"
	"barline/brew/cup"
	"barline/recipes"

	"github.com/spf13/cobra"
)

// newCupExpect returns the command that says what a recipe should give, and
// what another contact time would change of it.
func newCupExpect(a *app) *cobra.Command {
	asJSON, contact := false, ""
	cmd := &cobra.Command{
		Use:               "expect RECIPE [--contact +10s]",
		Short:             "what strength to expect of a recipe before it is brewed: an estimate",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeRecipes(),
		RunE: func(_ *cobra.Command, args []string) error {
			plan, _, _, err := a.planned(args[0], "")
			if err != nil {
				return err
			}
			e := cup.Expect(plan)
			if contact == "" {
				return a.answer(asJSON, expectedJSON(e), expected(plan.Name, e))
			}
			by, err := contactBy(contact, plan)
			if err != nil {
				return err
			}
			change, known := cup.ContactEffect(plan, by)
			return a.answer(asJSON, longerJSON(e, by, change, known), expected(plan.Name, e), changed(plan, by, change, known))
		},
	}
	cmd.Flags().StringVar(&contact, "contact", "", "what so much more contact would do to the strength, or less: +10s, -10s")
	cmd.Flags().BoolVar(&asJSON, "json", false, inJSON)
	return cmd
}

// jsonExpected is what a recipe should give; null where nothing can be said.
type jsonExpected struct {
	Strength   *float64 `json:"strength_pct"`
	Low        *float64 `json:"low_pct"`
	High       *float64 `json:"high_pct"`
	Extraction *float64 `json:"extraction_pct"`
	Valid      bool     `json:"valid"`
	Why        string   `json:"why"`
}

func expectedJSON(e cup.Expected) jsonExpected {
	known := e.Strength > 0
	return jsonExpected{
		some(rounded(float64(e.Strength), 4), known), some(rounded(float64(e.Low), 4), known), some(rounded(float64(e.High), 4), known),
		some(rounded(float64(e.Extraction), 4), e.Extraction > 0), e.Valid, e.Why,
	}
}

// jsonLonger is also what another contact time changes of the strength, in
// percentage points.
type jsonLonger struct {
	jsonExpected
	By     float64  `json:"contact_by_s"`
	Change *float64 `json:"change_pct"`
	Low    *float64 `json:"change_low_pct"`
	High   *float64 `json:"change_high_pct"`
}

func longerJSON(e cup.Expected, by time.Duration, c cup.Change, known bool) jsonLonger {
	return jsonLonger{
		expectedJSON(e), inSeconds(by),
		some(rounded(c.Middle, 4), known), some(rounded(c.Low, 4), known), some(rounded(c.High, 4), known),
	}
}

// contactBy reads by how much the contact is changed, + being longer.
func contactBy(text string, p *brew.Plan) (time.Duration, error) {
	figures := strings.TrimLeft(text, " +-−")
	signs := strings.TrimSpace(strings.TrimSuffix(text, figures))
	below := signs == "-" || signs == "−"
	if utf8.RuneCountInString(signs) > 1 {
		return 0, &usageError{fmt.Sprintf("--contact %q has more than one sign", text), "write +10s for longer, -10s for shorter"}
	}
	by, err := recipes.ReadLength(withUnit(figures, "s"))
	if err != nil {
		return 0, misused("--contact", text, err)
	}
	switch {
	case below && p.HasContact && by >= p.Contact:
		return 0, &inputError{fmt.Sprintf("--contact %q leaves nothing of %s", text, brew.Spoken(p.Contact)), "give by how much it is shorter, such as -10s"}
	case below:
		by = -by
	}
	return by, nil
}

// changed says what another contact time changes.
func changed(p *brew.Plan, by time.Duration, c cup.Change, known bool) string {
	if known {
		return c.Text
	}
	why := "the steps do not say when contact ends"
	if balance, ok := cup.BalanceOf(p.Method); !ok || balance != cup.Immersion {
		why = fmt.Sprintf("no published figures for the method %q", string(p.Method))
	}
	return fmt.Sprintf("What %s of contact would do to the strength nobody can say: %s.", brew.Signed(by), why)
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
