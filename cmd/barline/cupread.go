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
	if err := aboveZero(flag, text); err != nil {
		return 0, err
	}
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
	if err := aboveZero(flag, text); err != nil {
		return 0, err
	}
	p, err := recipes.ReadPercent(withUnit(text, "%"))
	if err != nil {
		return 0, misused(flag, text, err)
	}
	return float64(p), nil
}

// readHeat reads a temperature: °C, unless it says otherwise. It may be below
// zero, as the air of a stall in winter is.
func readHeat(flag, text string) (brew.Celsius, error) {
	figures, below := unsigned(text)
	t, err := recipes.ReadCelsius(withUnit(figures, "°C"))
	if err != nil {
		return 0, misused(flag, text, err)
	}
	if below {
		zero := brew.Celsius(0)
		if strings.HasSuffix(figures, "F") {
			zero = -32 / 1.8
		}
		t = 2*zero - t // as far below the scale's zero as it was read above
	}
	return t, nil
}

// unsigned takes the minus off a figure.
func unsigned(text string) (figures string, below bool) {
	text = strings.TrimSpace(text)
	figures = strings.TrimLeft(text, "-−")
	return strings.TrimSpace(figures), figures != text
}

// aboveZero returns the error for a figure that cannot be below zero and is.
func aboveZero(flag, text string) error {
	figures, below := unsigned(text)
	if !below {
		return nil
	}
	return &usageError{fmt.Sprintf("%s %q is below zero", flag, text), "write " + figures}
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
	figures, below := unsigned(text)
	sign := ""
	if below {
		sign = "-"
	}
	m, err := recipes.ReadHeight(sign + withUnit(figures, "m"))
	if err != nil {
		return air{}, misused("--altitude", text, err)
	}
	pascal, err := cup.PressureAt(m)
	if err != nil {
		err = &inputError{fmt.Sprintf("--altitude %q: %s", text, err), "give the bar's height above the sea"}
	}
	return air{pascal: pascal, said: "by the standard atmosphere at that height"}, err
}

// underPressure reads a pressure: hPa, unless it says otherwise. One without a
// unit that no air has, and would have in another unit, is a slip.
func underPressure(text string) (air, error) {
	if err := aboveZero("--pressure", text); err != nil {
		return air{}, err
	}
	written := withUnit(text, "hPa")
	pascal, err := recipes.ReadPressure(written)
	if err != nil {
		return air{}, misused("--pressure", text, err)
	}
	if hint := otherUnit(pascal); hint != "" && written != strings.TrimSpace(text) {
		return air{}, &inputError{fmt.Sprintf("--pressure %q is no air's", text), hint}
	}
	if _, err := cup.Boils(pascal); err != nil {
		return air{}, &inputError{fmt.Sprintf("--pressure %q is outside 6.12 hPa to 220640 hPa, where water boils", text), "write such as 990 hPa"}
	}
	return air{pascal: pascal, said: "under that pressure"}, nil
}

// otherUnit says in which unit a pressure would be the air's that is not in
// hPa; "" where it is, or in none.
func otherUnit(pascal float64) string {
	if airs(pascal) {
		return ""
	}
	for _, unit := range []struct {
		name string
		of   float64 // pascals in one
	}{{"Pa", 1}, {"kPa", 1e3}, {"bar", 1e5}, {"mmHg", 133.322}, {"inHg", 3386.39}} {
		if figure := pascal / 100; airs(figure * unit.of) {
			return fmt.Sprintf("write %.6g hPa where %.6g %s were meant", figure*unit.of/100, figure, unit.name)
		}
	}
	return ""
}

// airs reports whether a pressure is the air's where people brew.
func airs(pascal float64) bool {
	least, _ := cup.PressureAt(highestBar)
	most, _ := cup.PressureAt(lowestBar)
	return least <= pascal && pascal <= most
}
