package live

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"barline/brew"
)

// waitWord stands large while nothing is to be done.
const waitWord = brew.Action("WAIT")

// word is the action as one large word.
func word(a brew.Action) string { return strings.ToUpper(string(a)) }

// weight is what the scale should read, to the gram.
func weight(m brew.Mass) string {
	return strconv.FormatInt(int64((m+brew.Gram/2)/brew.Gram), 10) + " g"
}

// percent is how far something should be. The hair more is for fractions
// that a float64 cannot hold: 0.29 is 29 %.
func percent(done float64) string { return strconv.Itoa(int(done*100+1e-9)) + "%" }

// Countdown is a time to go, seconds rounded up: a figure stands for its
// whole second, and what it counts to comes when that is over. A time that
// ends on a whole second of the clock changes in the same instant as the
// clock.
func Countdown(d time.Duration) string {
	s := ceilSeconds(d)
	if s < 60 {
		return strconv.FormatInt(s, 10) + " s"
	}
	return brew.Clock(time.Duration(s) * time.Second)
}

// turn returns how long until a countdown shows its next figure.
func turn(d time.Duration) time.Duration {
	return d - time.Duration(ceilSeconds(d)-1)*time.Second
}

func ceilSeconds(d time.Duration) int64 { return int64((d + time.Second - 1) / time.Second) }

// compact drops the space before a unit: large figures keep their distance by
// themselves.
func compact(text string) string { return strings.ReplaceAll(text, " ", "") }

// figures is the recipe in one line.
func figures(p *brew.Plan) string {
	text := fmt.Sprintf("%s to %s at %s", p.Dose, p.Water, p.Temperature)
	if p.Bypass > 0 {
		text += " and " + p.Bypass.String() + " bypass"
	}
	if p.Grind != "" {
		text += ", " + p.Grind
	}
	return text
}
