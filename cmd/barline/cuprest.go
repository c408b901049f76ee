package main

import (
	"errors"
	"fmt"
	"strings"
	"time"

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
		Args:  flagsAlone,
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
			kettle, err := a.kettleOf(here.boils, heats[1], thermometer, readings)
			if err != nil {
				return err
			}
			rest, err := cup.RestFor(here.boils, heats[0], heats[1], kettle)
			if err != nil {
				return slipped(err)
			}
			return a.rested(asJSON, rest, kettle, here, heats[0])
		},
	}
	where.register(cmd)
	flags := cmd.Flags()
	flags.StringVar(&to, "to", "", "temperature to rest to, °C")
	flags.StringVar(&room, "air", cup.UsualAir.String(), "temperature of the air around the kettle")
	flags.StringArrayVar(&readings, "readings", nil, "of a thermometer in the kettle, since it left the boil: \"1:00 97.2, 4:00 92.9\"")
	flags.StringVar(&thermometer, "thermometer", fmt.Sprintf("%g", cup.UsualThermometer), "standard uncertainty of the thermometer, °C; 0 leaves it to the scatter of the readings")
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

// kettleOf calibrates a kettle by its readings; without any it is the bar's, of
// which nothing may be known.
func (a *app) kettleOf(boils, air brew.Celsius, thermometer string, readings []string) (cup.Kettle, error) {
	off, err := readThermometer(thermometer)
	if err != nil {
		return cup.Kettle{}, err
	}
	var timed []cup.TimedReading
	pieces := strings.FieldsFunc(strings.Join(readings, ";"), func(r rune) bool { return r == ',' || r == ';' })
	for i, text := range pieces {
		text = strings.TrimSpace(text)
		if i > 0 && text != "" && strings.Trim(text, "0123456789") == "" {
			return cup.Kettle{}, &usageError{fmt.Sprintf("--readings %q has a decimal comma", pieces[i-1]+","+text), "write " + strings.TrimSpace(pieces[i-1]) + "." + text}
		}
		if text == "" {
			continue
		}
		r, err := timedReading(text)
		if err != nil {
			return cup.Kettle{}, err
		}
		timed = append(timed, r)
	}
	if len(timed) == 0 {
		return a.config.cools, nil
	}
	k, err := cup.Calibrate(boils, air, off, timed...)
	return k, slipped(err)
}

// readThermometer reads how far a thermometer may be off, a difference of
// temperatures: 0.5, 0.5 K, 0.9 °F. 0 leaves it to the scatter of the readings.
func readThermometer(text string) (float64, error) {
	figures, of := strings.TrimSuffix(text, "K"), 1.0
	if f, fahrenheit := strings.CutSuffix(text, "F"); fahrenheit {
		figures, of = strings.TrimSuffix(f, "°"), 1/1.8
	}
	if err := aboveZero("--thermometer", text); err != nil {
		return 0, err
	}
	t, err := readHeat("--thermometer", figures)
	if err != nil {
		return 0, err
	}
	off := float64(t) * of
	if off > worstThermometer {
		return 0, &inputError{fmt.Sprintf("--thermometer %q: one that may be off by more than %g °C tells nothing", text, worstThermometer), "write such as 0.5"}
	}
	return off, nil
}

// worstThermometer is beyond any that is put into a kettle, in °C.
const worstThermometer = 10.0

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

func (a *app) rested(asJSON bool, r cup.Rest, k cup.Kettle, here air, to brew.Celsius) error {
	said := fmt.Sprintf("Rest %s off the boil, 95 in 100 times between the two: %s.", r.Words(), r.Why)
	keep := ""
	switch {
	case r.High == 0:
		said = "Pour at once: that is as good as the boil."
	case !r.Calibrated:
		said = fmt.Sprintf("Rest %s off the boil: %s. A reading or two of your kettle make that a figure: --readings \"1:00 97.2, 4:00 92.9\".", r.Words(), r.Why)
	case k.Readings > 0:
		keep = fmt.Sprintf("To keep the kettle, write into config.yaml: %s: %s", coolsKey, coolsText(k.Stated()))
	}
	return a.answer(asJSON, struct {
		Seconds    *float64 `json:"seconds"`
		Low        float64  `json:"low_s"`
		High       float64  `json:"high_s"`
		Calibrated bool     `json:"calibrated"`
	}{some(rounded(r.Wait.Seconds(), 1), r.Calibrated), rounded(r.Low.Seconds(), 1), rounded(r.High.Seconds(), 1), r.Calibrated},
		texts(fmt.Sprintf("Water boils at %.1f °C, %s; to %s from there:", float64(here.boils), here.said, to), said, keep, ruleOfThumb())...)
}

// coolsKey is the configuration's key of a kettle that was calibrated.
const coolsKey = "kettle-cools"

// coolsText writes a kettle as readCools reads it.
func coolsText(k cup.Kettle) string {
	return fmt.Sprintf("%.1f min ± %.1f min", k.Tau.Minutes(), max(k.U.Minutes(), 0.1))
}

// readCools reads a kettle that was calibrated: its time constant, and how far
// that may be off.
func readCools(c *config, text string) error {
	tau, u, ok := strings.Cut(strings.Replace(text, "+-", "±", 1), "±")
	if !ok {
		return &recipes.Wrong{Message: fmt.Sprintf("%q does not say how far it may be off", text), Hint: "write such as 40 min ± 2 min, as barline cup rest --readings says it"}
	}
	var both [2]time.Duration
	for i, part := range []string{tau, u} {
		var err error
		if both[i], err = recipes.ReadLength(strings.TrimSpace(part)); err != nil {
			return err
		}
	}
	k, err := cup.Kept(both[0], both[1])
	var s *cup.Slip
	if errors.As(err, &s) {
		return &recipes.Wrong{Message: fmt.Sprintf("%q: %s", text, s.Message), Hint: s.Hint}
	}
	c.cools = k
	return err
}

// ruleOfThumb says what many do instead.
func ruleOfThumb() string {
	return fmt.Sprintf("Common practice is %.0f s off the boil, whatever kettle and altitude: a rule of thumb, no source.", cup.HalfMinute.Seconds())
}
