package main

import (
	"fmt"

	"barline/brew"
	"barline/brew/cup"

	"github.com/spf13/cobra"
)

// register adds the flags that say where water boils.
func (p *placeFlags) register(cmd *cobra.Command) {
	cmd.Flags().StringVar(&p.altitude, "altitude", "", "of the bar, m or ft (default the configuration's)")
	cmd.Flags().StringVar(&p.pressure, "pressure", "", "of the air, hPa, instead of the altitude")
}

// newCupWater returns the command that says where water boils.
func newCupWater(a *app) *cobra.Command {
	var where placeFlags
	asJSON := false
	cmd := &cobra.Command{
		Use:   "water [--altitude M | --pressure HPA]",
		Short: "at what temperature water boils",
		Args:  flagsAlone,
		RunE: func(*cobra.Command, []string) error {
			here, err := where.of(a)
			if err != nil {
				return err
			}
			height := "no height of the standard atmosphere"
			if here.hasPlace {
				height = fmt.Sprintf("%.0f m", here.metres+0) // no minus before a zero
			}
			return a.answer(asJSON, struct {
				Altitude *float64 `json:"altitude_m"`
				Pressure float64  `json:"pressure_pa"`
				Boiling  float64  `json:"boiling_c"`
			}{some(rounded(here.metres, 1)+0, here.hasPlace), rounded(here.pascal, 2), rounded(float64(here.boils), 4)},
				fmt.Sprintf("Water boils at %.1f °C: %.1f hPa, %s, %s.", float64(here.boils), here.pascal/100, height, here.said),
				"Weather moves that by 0.4 °C to either side.")
		},
	}
	where.register(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, inJSON)
	return cmd
}

// newCupDensity returns the command that says what water weighs.
func newCupDensity(a *app) *cobra.Command {
	var at, volume string
	asJSON := false
	cmd := &cobra.Command{
		Use:   "density --at °C",
		Short: "what water weighs at a temperature",
		Args:  flagsAlone,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := needed(cmd, "at", at); err != nil {
				return err
			}
			t, err := readHeat("--at", at)
			if err != nil {
				return err
			}
			d, err := cup.Density(t)
			if err != nil {
				return slipped(err)
			}
			weighs, err := weighed(volume, t)
			if err != nil {
				return err
			}
			return a.answer(asJSON, struct {
				Density float64 `json:"density_kg_m3"`
			}{rounded(d, 4)}, texts(fmt.Sprintf("A litre of water at %s weighs %.1f g.", t, d), weighs)...)
		},
	}
	cmd.Flags().StringVar(&at, "at", "", "temperature of the water, °C")
	cmd.Flags().StringVar(&volume, "of", "", "a volume of it to be told in grams, or grams to be told in ml")
	cmd.Flags().BoolVar(&asJSON, "json", false, inJSON)
	return cmd
}

// weighed says what a volume weighs, or what room a weight takes.
func weighed(text string, at brew.Celsius) (string, error) {
	if text == "" {
		return "", nil
	}
	grams, err := readGrams("--of", withUnit(text, "ml"), fmt.Sprintf("%g °C", float64(at)))
	if err != nil {
		return "", err
	}
	ml, err := cup.MillilitresOf(grams, at)
	if err != nil {
		return "", slipped(err)
	}
	return fmt.Sprintf("%.1f ml of it are %.1f g.", ml, grams), nil
}
