package main

import (
	"fmt"

	"barline/brew/cup"

	"github.com/spf13/cobra"
)

// newCupDilute returns the command that thins a concentrate.
func newCupDilute(a *app) *cobra.Command {
	var beverage, strength, to, size, at string
	asJSON := false
	cmd := &cobra.Command{
		Use:   "dilute --beverage G --strength % --to %",
		Short: "the water that brings a concentrate to a strength, and how many cups it makes",
		Args:  flagsAlone,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := needed(cmd, "beverage", beverage, "strength", strength, "to", to); err != nil {
				return err
			}
			grams, err := readGrams("--beverage", beverage, at)
			if err != nil {
				return err
			}
			from, err := readShare("--strength", strength)
			if err != nil {
				return err
			}
			aim, err := readShare("--to", to)
			if err != nil {
				return err
			}
			d, err := cup.Dilute(grams, from, aim)
			if err != nil {
				return slipped(err)
			}
			share, err := shared(d, size, at)
			if err != nil {
				return err
			}
			return a.dilution(asJSON, d, share)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&beverage, "beverage", "", "concentrate in the server, g")
	flags.StringVar(&strength, "strength", "", "of the concentrate, %")
	flags.StringVar(&to, "to", "", "strength that is wanted, %")
	flags.StringVar(&size, "size", "", "of a cup, g")
	flags.StringVar(&at, "at", "", "temperature of what is given in ml, °C")
	flags.BoolVar(&asJSON, "json", false, inJSON)
	return cmd
}

// needed returns the error for the first flag that was left out, given names
// and values in turn.
func needed(cmd *cobra.Command, flags ...string) error {
	for i := 0; i < len(flags); i += 2 {
		if flags[i+1] == "" {
			return &usageError{"--" + flags[i] + " is missing", helpOf(cmd)}
		}
	}
	return nil
}

// shared pours a beverage into cups of a size, where one was given.
func shared(d cup.Dilution, size, at string) (*cup.Share, error) {
	if size == "" {
		return nil, nil
	}
	grams, err := readGrams("--size", size, at)
	if err != nil {
		return nil, err
	}
	s, err := cup.ShareOut(d.Beverage, grams)
	return &s, slipped(err)
}

func (a *app) dilution(asJSON bool, d cup.Dilution, s *cup.Share) error {
	out := struct {
		Water    float64  `json:"water_g"`
		Beverage float64  `json:"beverage_g"`
		Strength float64  `json:"strength_pct"`
		Cups     *float64 `json:"cups"`
	}{rounded(d.Water, 3), rounded(d.Beverage, 3), rounded(d.Strength, 4), nil}
	var into string
	if s != nil {
		out.Cups = some(rounded(s.Cups, 3), true)
		into = fmt.Sprintf("That is %s, and %.0f g over.", counted(s.Full, "full cup"), s.Rest)
	}
	return a.answer(asJSON, out, texts(fmt.Sprintf("Add %.1f g of water: %.1f g of beverage at %.2f %%.", d.Water, d.Beverage, d.Strength), into)...)
}
