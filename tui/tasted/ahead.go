package tasted

import (
	"fmt"

	"barline/brew"
	"barline/brew/cup"
)

// Ahead says what is known of a cup before it is brewed: the aim, the strength
// to expect, where water boils at the bar and how long it rests from there.
// Where nobody said where it boils (0), the bar is taken to be at the sea; a
// kettle that nobody calibrated is the zero Kettle.
func Ahead(p *brew.Plan, boils brew.Celsius, k cup.Kettle) []string {
	var out []string
	if aim := Aim(p.Aim); aim != "" {
		out = append(out, "aim: "+aim)
	}
	if expect := cup.Expect(p).Words(); expect != "" {
		out = append(out, "expect: "+expect)
	}
	return append(out, rest(boils, p.Temperature, k))
}

// rest says where water boils and how long it rests to a temperature.
func rest(boils, to brew.Celsius, k cup.Kettle) string {
	where := "here"
	if boils == 0 {
		boils, _ = cup.BoilsAt(0)
		where = "at the sea"
	}
	text := fmt.Sprintf("water boils at %s %s", boils, where)
	rest, err := cup.RestFor(boils, to, cup.UsualAir, k)
	switch {
	case to.Above(boils):
		return text + fmt.Sprintf(", so that it cannot have %s", to)
	case err != nil:
		return text
	case rest.High == 0:
		return text + ": pour at once"
	}
	by := "by the kettle, which nobody calibrated"
	if rest.Calibrated {
		by = "by the kettle as it was calibrated"
	}
	return text + fmt.Sprintf("; to %s it rests %s off the boil, %s (common practice: %.0f s)", to, rest.Words(), by, cup.HalfMinute.Seconds())
}
