package stage

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"barline/brew"
	"barline/tui/draw"
)

// WaitWord stands large while nothing is to be done.
const WaitWord = brew.Action("WAIT")

// Word is the action as one large word.
func Word(a brew.Action) string { return strings.ToUpper(string(a)) }

// Weight is what the scale should read, to the gram.
func Weight(m brew.Mass) string {
	return strconv.FormatInt(int64((m+brew.Gram/2)/brew.Gram), 10) + " g"
}

// Percent is how far something should be, of 0 to 1. The hair more is for
// fractions that a float64 cannot hold: 0.29 is 29 %.
func Percent(done float64) string { return strconv.Itoa(int(done*100+1e-9)) + "%" }

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

// Turn returns how long until a countdown shows its next figure.
func Turn(d time.Duration) time.Duration {
	return d - time.Duration(ceilSeconds(d)-1)*time.Second
}

func ceilSeconds(d time.Duration) int64 { return int64((d + time.Second - 1) / time.Second) }

// compact drops the space before a unit: large figures keep their distance by
// themselves.
func compact(text string) string { return strings.ReplaceAll(text, " ", "") }

// Lead puts a lane's name before something, and nothing where there is none.
func Lead(name string) string {
	if name == "" {
		return ""
	}
	return name + ": "
}

// comma puts a text behind something, and nothing where there is none.
func comma(text string) string {
	if text == "" {
		return ""
	}
	return ", " + text
}

// Fitting returns the first of the texts that fits, the last one cut off where
// none does.
func Fitting(width int, texts ...string) string {
	for _, text := range texts {
		if draw.Width(text) <= width {
			return text
		}
	}
	return draw.Fit(texts[len(texts)-1], width)
}

// listed returns the texts that are not empty, with commas between.
func listed(texts ...string) string {
	return strings.Join(slices.DeleteFunc(slices.Clone(texts), func(text string) bool { return text == "" }), ", ")
}

// wrap breaks a text into at most n lines of a width, the last one cut off if
// it must be.
func wrap(text string, width, n int) []string {
	lines := draw.Wrap(text, width)
	if len(lines) > n {
		rest := strings.Join(lines[max(n-1, 0):], " ")
		lines = append(lines[:max(n-1, 0)], draw.Fit(rest, width))[:max(n, 0)]
	}
	return lines
}

// turned returns those of the lines that are to be seen at a moment: n of them
// at a time, all of them one after the other.
func turned(lines []string, n int, at time.Duration) []string {
	if n <= 0 || len(lines) <= n {
		return lines[:min(len(lines), max(n, 0))]
	}
	pages := time.Duration((len(lines) + n - 1) / n)
	from := n * int((at/turnAfter%pages+pages)%pages)
	return lines[from:min(from+n, len(lines))]
}

// turnAfter is how long it takes to read some lines.
const turnAfter = 4 * time.Second
