package cup

import (
	"fmt"
	"math"
	"strconv"

	"barline/brew"
)

// SlipKind says what is probably the matter with a figure.
type SlipKind string

// The kinds of slips.
const (
	NoNumber    SlipKind = "not a number"
	OutOfRange  SlipKind = "outside its range"
	Fraction    SlipKind = "a fraction for a percentage"
	PerLitre    SlipKind = "grams a litre for a percentage"
	Millilitres SlipKind = "millilitres for grams"
	TooHeavy    SlipKind = "a beverage heavier than the water"
	TooMuch     SlipKind = "more than coffee can give"
	Swapped     SlipKind = "two figures in each other's place"
	TooFew      SlipKind = "too few figures"
	TooMany     SlipKind = "too many figures"
	TooHot      SlipKind = "hotter than water boils"
	TooCold     SlipKind = "colder than it can get"
)

// Slip is a figure that cannot be true, or that cannot be worked out. It is
// the error of everything in this package that takes figures.
type Slip struct {
	Kind    SlipKind
	What    Name   // the figure it was found in; "" where it is none of a cup's
	Message string // what was found and what was wanted
	Hint    string // one thing to do; may be empty
}

// Error returns the message; the hint stays apart.
func (s *Slip) Error() string { return s.Message }

func slip(kind SlipKind, what Name, hint, format string, args ...any) *Slip {
	return &Slip{kind, what, fmt.Sprintf(format, args...), hint}
}

// outside returns the slip of a figure that is not inside [low, high], nil for
// one that is. The figure is one of a cup's, or words that it follows in a
// sentence; its unit comes with the space before it.
func outside(what Name, x, low, high float64, unit string) *Slip {
	of := what
	if _, ofACup := spans[what]; !ofACup {
		of = ""
	}
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return slip(NoNumber, of, "", "%s is not a number", what)
	case x < low || x > high:
		return slip(OutOfRange, of, "", "%s %s%s is outside %s%s to %s%s", what, decimal(x), unit, decimal(low), unit, decimal(high), unit)
	}
	return nil
}

// temperature returns the slip of a temperature outside [low, high].
func temperature(what string, t, low, high brew.Celsius) *Slip {
	s := outside(Name(what), float64(t), float64(low), float64(high), " °C")
	if s != nil {
		s.Hint = t.OtherScale()
	}
	return s
}

// decimal returns a figure for a message, to four significant digits at most.
func decimal(x float64) string {
	short, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 4, 64), 64)
	return strconv.FormatFloat(short, 'f', -1, 64)
}
