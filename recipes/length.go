package recipes

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"barline/brew"
)

var (
	clockForm   = regexp.MustCompile(`^([0-9]+):([0-9]+)(?::([0-9]+))?(?:\.([0-9]+))?$`)
	minutesForm = regexp.MustCompile(`^([0-9]+) ?min ([0-9.,]+ ?s)$`)
)

// wantedLength is what a length of time or a moment may look like.
const wantedLength = "s, min, m:ss or h:mm:ss"

// lengthNear holds other spellings of the units of time.
var lengthNear = map[string]string{
	"sec": "s", "secs": "s", "second": "s", "seconds": "s", `"`: "s", "″": "s",
	"m": "min", "mins": "min", "minute": "min", "minutes": "min", "'": "min", "′": "min",
}

// readLength reads a length of time or a moment: 90 s, 1.5 min, 1 min 30 s,
// 1:30, 1:02:03. It is no finer than 1 ms and no longer than
// brew.MostLength.
func readLength(text string) (time.Duration, *misreading) {
	d, wrong := length(text)
	if wrong == nil && d > brew.MostLength {
		return 0, &misreading{fmt.Sprintf("%s is longer than %d h", quote(text), int(brew.MostLength/time.Hour)), "check the figure and its unit"}
	}
	return d, wrong
}

func length(text string) (time.Duration, *misreading) {
	if rest, below := strings.CutPrefix(text, "-"); below && clockForm.MatchString(rest) {
		return 0, &misreading{quote(text) + " is below zero", "write " + rest}
	}
	if parts := clockForm.FindStringSubmatch(text); parts != nil {
		return readClock(text, parts)
	}
	if parts := minutesForm.FindStringSubmatch(text); parts != nil {
		minutes, wrong := readUnit(text, parts[1]+" min")
		if wrong != nil {
			return 0, wrong
		}
		rest, wrong := readUnit(text, parts[2])
		if wrong == nil && rest >= time.Minute {
			wrong = &misreading{quote(text) + " has more than a minute of seconds", "write " + brew.Spoken(minutes+rest)}
		}
		return minutes + rest, wrong
	}
	return readUnit(text, text)
}

// readClock reads m:ss or h:mm:ss, already split.
func readClock(text string, parts []string) (time.Duration, *misreading) {
	fields := parts[1:3]
	if parts[3] != "" {
		fields = parts[1:4]
	}
	if len(fields[0]) > mostFigures {
		return 0, &misreading{quote(text) + " is too large to be meant", "check the figure"}
	}
	total, past := 0, false
	for i, f := range fields {
		if i > 0 && len(f) != 2 {
			return 0, &misreading{quote(text) + " is no time, wanted " + wantedLength, "write two figures behind a colon, such as 1:04"}
		}
		n, _ := strconv.Atoi(f)
		past = past || i > 0 && n >= 60
		total = total*60 + n
	}
	if past {
		return 0, &misreading{quote(text) + " counts past 59 behind a colon", "write " + brew.Exact(time.Duration(total)*time.Second)}
	}
	part, ok := figure{part: strings.TrimRight(parts[4], "0")}.scaled(3)
	if !ok {
		return 0, tooFine(text)
	}
	return time.Duration(total)*time.Second + time.Duration(part)*time.Millisecond, nil
}

// readUnit reads a figure with s or min. The text is the whole of which it is
// a part.
func readUnit(text, part string) (time.Duration, *misreading) {
	sign, digits, unit, wrong := cut(part, "30 s or 0:30")
	if wrong != nil {
		wrong.message = quote(text) + " is no length of time"
		return 0, wrong
	}
	second := time.Second
	switch unit {
	case "s":
	case "min":
		second = time.Minute
	default:
		return 0, wrongTime(text, digits, unit)
	}
	f, wrong := readFigure(part, sign, digits, unit)
	if wrong != nil {
		return 0, wrong
	}
	n, ok := f.scaled(3)
	if !ok {
		return 0, tooFine(text)
	}
	return time.Duration(n) * (second / 1000), nil
}

func tooFine(text string) *misreading {
	return &misreading{quote(text) + " is finer than 0.001 s", "round it: nobody moves to a thousandth of a second"}
}

func wrongTime(text, digits, unit string) *misreading {
	wanted := ", wanted " + wantedLength
	bare, small := strings.Replace(digits, ",", ".", 1), strings.ToLower(unit)
	switch {
	case unit == "":
		return &misreading{quote(text) + " has no unit" + wanted, "write " + bare + " s"}
	case small == "h" || strings.HasPrefix(small, "hour") || strings.HasPrefix(small, "hr"):
		return &misreading{quote(text) + " has the unit " + quote(unit) + wanted, "write hours as h:mm:ss, such as 12:00:00"}
	}
	hint := "write a time such as 30 s or 1:30"
	if meant := lengthNear[small]; meant != "" {
		hint = "write " + bare + " " + meant
	} else if small == "s" || small == "min" {
		hint = "write " + bare + " " + small
	}
	return &misreading{quote(text) + " has the unit " + quote(unit) + wanted, hint}
}

var earlyAndLate = regexp.MustCompile(`^- ?([^-+]+?) ?\+ ?([^-+]+)$`)

// readWindow reads a window that is as wide early as late, 3 s, or not:
// -2 s +5 s.
func readWindow(text string) (brew.Window, *misreading) {
	if parts := earlyAndLate.FindStringSubmatch(text); parts != nil {
		early, wrong := readLength(parts[1])
		if wrong != nil {
			return brew.Window{}, wrong
		}
		late, wrong := readLength(parts[2])
		return brew.Window{Early: early, Late: late}, wrong
	}
	if strings.ContainsAny(text, "+-−±") {
		return brew.Window{}, &misreading{
			quote(text) + " is no window, wanted how early and how late a beat may be",
			"write 3 s for both, or -2 s +5 s",
		}
	}
	both, wrong := readLength(text)
	return brew.Window{Early: both, Late: both}, wrong
}
