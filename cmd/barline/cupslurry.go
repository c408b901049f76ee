package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"barline/brew"
	"barline/brew/cup"

	"github.com/spf13/cobra"
)

// newCupSlurry returns the command that says how warm water and grounds are
// once they have met.
func newCupSlurry(a *app) *cobra.Command {
	var water, at, dose, vessel, room string
	asJSON := false
	cmd := &cobra.Command{
		Use:   "slurry --water G --at °C --dose G [--vessel \"300 g glass\"]",
		Short: "how warm water and grounds are once they have met",
		Args:  flagsAlone,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := needed(cmd, "water", water, "at", at, "dose", dose); err != nil {
				return err
			}
			s, err := steepOf(water, at, dose, vessel, room)
			if err != nil {
				return err
			}
			here, err := placeFlags{}.of(a)
			if err != nil {
				return err
			}
			if s.Kettle.Above(here.boils) {
				return &inputError{fmt.Sprintf("water cannot have %s where it boils at %s", s.Kettle, here.boils), cmp.Or(s.Kettle.OtherScale(), "check --at, or the altitude in the configuration")}
			}
			slurry, err := cup.SlurryOf(s)
			if err != nil {
				return slipped(err)
			}
			return a.answer(asJSON, struct {
				Slurry float64 `json:"slurry_c"`
				Low    float64 `json:"low_c"`
				High   float64 `json:"high_c"`
			}{rounded(float64(slurry.At), 3), rounded(float64(slurry.Low), 3), rounded(float64(slurry.High), 3)},
				fmt.Sprintf("The slurry has %s at most (%s to %s): %s.", slurry.At, slurry.Low, slurry.High, slurry.Why))
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&water, "water", "", "on the grounds, g")
	flags.StringVar(&at, "at", "", "temperature of the water, °C")
	flags.StringVar(&dose, "dose", "", "dry coffee, g")
	flags.StringVar(&vessel, "vessel", "", "what they are put into: mass, material, temperature where it was warmed: \"300 g glass 60 °C\"")
	flags.StringVar(&room, "air", cup.UsualAir.String(), "temperature of the room, the grounds and a vessel that was not warmed")
	flags.BoolVar(&asJSON, "json", false, inJSON)
	return cmd
}

func steepOf(water, at, dose, vessel, room string) (cup.Steep, error) {
	heats, err := readHeats("--at", at, "--air", room)
	if err != nil {
		return cup.Steep{}, err
	}
	s := cup.Steep{Kettle: heats[0], Grounds: heats[1]}
	if s.Water, err = readGrams("--water", water, at); err != nil {
		return s, err
	}
	if s.Dose, err = readGrams("--dose", dose, ""); err != nil {
		return s, err
	}
	s.Vessel, err = readVessel(vessel, heats[1])
	return s, err
}

// materials are what a brewer may be made of, with their specific heats.
var materials = map[string]float64{"glass": cup.GlassHeat, "steel": cup.SteelHeat, "ceramic": cup.CeramicHeat, "plastic": cup.PlasticHeat}

// readVessel reads a vessel: its mass, its material, and its temperature where
// it was warmed.
func readVessel(text string, room brew.Celsius) (cup.Part, error) {
	words := strings.Fields(text)
	if len(words) == 0 {
		return cup.Part{}, nil
	}
	is := slices.IndexFunc(words, func(w string) bool { return materials[w] != 0 })
	if is < 1 {
		return cup.Part{}, &usageError{fmt.Sprintf("--vessel %q is not a mass and a material", text), `write such as --vessel "300 g glass", of glass, steel, ceramic or plastic`}
	}
	grams, err := readGrams("--vessel", strings.Join(words[:is], " "), "")
	if err != nil {
		return cup.Part{}, err
	}
	out := cup.Part{Grams: grams, Heat: materials[words[is]], At: room}
	if warm := strings.TrimPrefix(strings.Join(words[is+1:], " "), "at "); warm != "" {
		out.At, err = readHeat("--vessel", warm)
	}
	return out, err
}
