package main

import (
	"fmt"
	"strings"

	"barline/brew"
	"barline/brew/cup"
	"barline/recipes"
)

// readGrams reads a mass: grams, unless it says otherwise. A volume of water or
// of a beverage, taken for water, is weighed at a temperature; without one,
// nobody can.
func readGrams(flag, text, at string) (float64, error) {
	text = withUnit(text, "g")
	if !recipes.IsVolume(text) || flag == "--dose" {
		m, err := recipes.ReadMass(text)
		if err != nil {
			return 0, misused(flag, text, err)
		}
		return m.Grams(), nil
	}
	ml, err := recipes.ReadVolume(text)
	if err != nil {
		return 0, misused(flag, text, err)
	}
	if at == "" {
		return 0, &usageError{fmt.Sprintf("%s %q is a volume, and what it weighs depends on its temperature", flag, text), "weigh it, or say with --at how warm it was when it was measured"}
	}
	t, err := readHeat("--at", at)
	if err != nil {
		return 0, err
	}
	grams, err := cup.Grams(ml, t)
	return grams, slipped(err)
}

// readShare reads a percentage; per cent go without saying.
func readShare(flag, text string) (float64, error) {
	p, err := recipes.ReadPercent(withUnit(text, "%"))
	if err != nil {
		return 0, misused(flag, text, err)
	}
	return float64(p), nil
}

// readHeat reads a temperature: °C, unless it says otherwise.
func readHeat(flag, text string) (brew.Celsius, error) {
	t, err := recipes.ReadCelsius(withUnit(text, "°C"))
	if err != nil {
		return 0, misused(flag, text, err)
	}
	return t, nil
}

// placeFlags are where water boils: what the flags say, else the bar.
type placeFlags struct {
	altitude, pressure string // as typed
}

// air is the pressure at a place, and what follows from it.
type air struct {
	pascal   float64
	metres   float64 // in the standard atmosphere
	hasPlace bool    // there is such a height
	boils    brew.Celsius
	said     string // where it comes from, in words
}

// of returns the air of a place: by altitude or pressure, else the bar's by the
// configuration, else that at the sea.
func (p placeFlags) of(a *app) (air, error) {
	var out air
	var err error
	switch {
	case p.altitude != "" && p.pressure != "":
		return out, &usageError{"--altitude and --pressure: one of them", "a pressure that was read is the better one"}
	case p.altitude != "":
		out, err = atHeight(p.altitude)
	case p.pressure != "":
		out, err = underPressure(p.pressure)
	case a.config.boils != 0:
		out.said = "by the configuration"
		out.pascal, err = cup.SteamPressure(a.config.boils)
	default:
		out.said = "at the sea, for want of an altitude or a pressure"
		out.pascal, err = cup.PressureAt(0)
	}
	if err != nil {
		return out, slipped(err)
	}
	if out.boils, err = cup.Boils(out.pascal); err != nil {
		return out, slipped(err)
	}
	if out.metres, err = cup.AltitudeOf(out.pascal); err == nil {
		out.hasPlace = true
	}
	return out, nil
}

func atHeight(text string) (air, error) {
	figures := strings.TrimPrefix(text, "-")
	m, err := recipes.ReadHeight(strings.TrimSuffix(text, figures) + withUnit(figures, "m"))
	if err != nil {
		return air{}, misused("--altitude", text, err)
	}
	pascal, err := cup.PressureAt(m)
	if err != nil {
		err = &inputError{fmt.Sprintf("--altitude %q: %s", text, err), "give the bar's height above the sea"}
	}
	return air{pascal: pascal, said: "by the standard atmosphere at that height"}, err
}

func underPressure(text string) (air, error) {
	pascal, err := recipes.ReadPressure(withUnit(text, "hPa"))
	if err != nil {
		return air{}, misused("--pressure", text, err)
	}
	_, high := cup.AltitudeOf(pascal)
	if _, meant := cup.AltitudeOf(pascal / 100); high != nil && meant == nil {
		return air{}, &inputError{fmt.Sprintf("--pressure %q is no air's", text), fmt.Sprintf("write %g hPa where %g Pa were meant", pascal/1e4, pascal/100)}
	}
	return air{pascal: pascal, said: "under that pressure"}, nil
}
