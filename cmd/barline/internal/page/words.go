package page

import (
	"fmt"
	"math"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/drift"
)

// amount is a value with its sign to a tenth, as all is shown.
func amount(x float64) string {
	text := strings.TrimSuffix(brew.Signed(time.Duration(math.Round(x*1e9))), " s")
	return strings.Replace(text, "-", "−", 1)
}

// with puts a unit behind a figure, from which no line break parts it.
func with(figure, unit string) string { return figure + "\u00a0" + unit }

func percent(x float64) string { return fmt.Sprintf("%.0f\u00a0%%", 100*x) }

// share is how many were on time, in per cent and with its interval.
func share(s drift.Share) string {
	return fmt.Sprintf("%s (%.0f–%.0f)", percent(s.Rate()), 100*s.In.Low, 100*s.In.High)
}

// window is a window by its edges.
func window(w brew.Window) string {
	return amount(-w.Early.Seconds()) + " to " + with(amount(w.Late.Seconds()), "s")
}

func day(t time.Time) string { return t.Format("2\u00a0January\u00a02006") }

// days is the time from one day to another.
func days(from, to time.Time) string {
	if day(from) == day(to) {
		return "on " + day(from)
	}
	return day(from) + " to " + day(to)
}

// counted is a number of things.
func counted(n int, thing string) string {
	if n == 1 {
		return "1\u00a0" + thing
	}
	return fmt.Sprintf("%d\u00a0%ss", n, thing)
}

// listed joins names as they are said.
func listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// who is a person's name; somebody may not have said it.
func who(name string) string {
	if name == "" {
		return "somebody without a name"
	}
	return name
}

// chance is a probability in words.
func chance(p float64) string {
	if p < 0.001 {
		return "below 0.001"
	}
	return fmt.Sprintf("%.3f", p)
}

// slope is a change a week to a hundredth.
func slope(x float64) string {
	return strings.Replace(fmt.Sprintf("%+.2f", x), "-", "−", 1)
}
