package main

import (
	"fmt"
	"strings"

	"barline/brew"
	"barline/brew/cup"
	"barline/recipes"

	"github.com/spf13/cobra"
)

// newCupRest returns the command that says how long a kettle rests off the
// boil.
func newCupRest(a *app) *cobra.Command {
	var where placeFlags
	var to, room, thermometer string
	var readings []string
	asJSON := false
	cmd := &cobra.Command{
		Use:   "rest --to °C [--readings \"1:00 97.2, 4:00 92.9\"]",
		Short: "how long a kettle rests between the boil and the pour",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := needed(cmd, "to", to); err != nil {
				return err
			}
			here, err := where.of(a)
			if err != nil {
				return err
			}
			heats, err := readHeats("--to", to, "--air", room)
			if err != nil {
				return err
			}
			kettle, err := kettleOf(here.boils, heats[1], thermometer, readings)
			if err != nil {
				return err
			}
			rest, err := cup.RestFor(here.boils, heats[0], heats[1], kettle)
			if err != nil {
				return slipped(err)
			}
			return a.rested(asJSON, rest, here, heats[0])
		},
	}
	where.register(cmd)
	flags := cmd.Flags()
	flags.StringVar(&to, "to", "", "temperature to rest to, °C")
	flags.StringVar(&room, "air", cup.UsualAir.String(), "temperature of the air around the kettle")
	flags.StringArrayVar(&readings, "readings", nil, "of a thermometer in the kettle, since it left the boil: \"1:00 97.2, 4:00 92.9\"")
	flags.StringVar(&thermometer, "thermometer", "", "standard uncertainty of the thermometer, °C")
	flags.BoolVar(&asJSON, "json", false, inJSON)
	return cmd
}

// readHeats reads temperatures, given flags and texts in turn.
func readHeats(flags ...string) ([]brew.Celsius, error) {
	var out []brew.Celsius
	for i := 0; i < len(flags); i += 2 {
		t, err := readHeat(flags[i], flags[i+1])
		if err != nil {
			return nil, err
		}
		out = append(out, t)
	}
	return out, nil
}

// kettleOf calibrates a kettle by its readings; without any it is the zero
// Kettle, of which nothing is known.
func kettleOf(boils, air brew.Celsius, thermometer string, readings []string) (cup.Kettle, error) {
	var timed []cup.TimedReading
	for _, text := range strings.Split(strings.Join(readings, ","), ",") {
		if strings.TrimSpace(text) == "" {
			continue
		}
		r, err := timedReading(text)
		if err != nil {
			return cup.Kettle{}, err
		}
		timed = append(timed, r)
	}
	if len(timed) == 0 {
		return cup.Kettle{}, nil
	}
	off := 0.0
	if thermometer != "" {
		t, err := readHeat("--thermometer", withUnit(strings.TrimSuffix(thermometer, "K"), "°C"))
		if err != nil {
			return cup.Kettle{}, err
		}
		off = float64(t)
	}
	k, err := cup.Calibrate(boils, air, off, timed...)
	return k, slipped(err)
}

// timedReading reads one reading: when, and how warm.
func timedReading(text string) (cup.TimedReading, error) {
	when, warm, ok := strings.Cut(strings.TrimSpace(strings.Replace(text, "=", " ", 1)), " ")
	if rest, minutes := strings.CutPrefix(strings.TrimSpace(warm), "min "); minutes { // 4 min 92.9
		when, warm = when+" min", rest
	} else if rest, seconds := strings.CutPrefix(strings.TrimSpace(warm), "s "); seconds {
		when, warm = when+" s", rest
	}
	if !ok {
		return cup.TimedReading{}, &usageError{fmt.Sprintf("--readings %q is not a time and a temperature", text), `write such as --readings "1:00 97.2, 4:00 92.9"`}
	}
	after, err := recipes.ReadLength(withUnit(when, "s"))
	if err != nil {
		return cup.TimedReading{}, misused("--readings", text, err)
	}
	at, err := readHeat("--readings", strings.TrimSpace(warm))
	return cup.TimedReading{After: after, At: at}, err
}

func (a *app) rested(asJSON bool, r cup.Rest, here air, to brew.Celsius) error {
	said := fmt.Sprintf("Rest %s off the boil, 95 in 100 times between the two: %s.", r.Words(), r.Why)
	if !r.Calibrated {
		said = fmt.Sprintf("Rest %s off the boil: %s. Two readings of your kettle make that a figure: --readings \"1:00 97.2, 4:00 92.9\".", r.Words(), r.Why)
	}
	return a.answer(asJSON, struct {
		Seconds    *float64 `json:"seconds"`
		Low        float64  `json:"low_s"`
		High       float64  `json:"high_s"`
		Calibrated bool     `json:"calibrated"`
	}{some(rounded(r.Wait.Seconds(), 1), r.Calibrated), rounded(r.Low.Seconds(), 1), rounded(r.High.Seconds(), 1), r.Calibrated},
		fmt.Sprintf("Water boils at %.1f °C, %s; to %s from there:", float64(here.boils), here.said, to), said, ruleOfThumb())
}

// ruleOfThumb says what many do instead.
func ruleOfThumb() string {
	return fmt.Sprintf("Common practice is %.0f s off the boil, whatever kettle and altitude: a rule of thumb, no source.", cup.HalfMinute.Seconds())
}
