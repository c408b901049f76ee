package pages

import (
	"fmt"
	"strings"

	"barline/brew/drift"
	"barline/tui/draw"
)

// text is all that is known of a person: the findings, how the marks come, what
// trying until it works does not raise, then each attempt, failed ones too.
func (p driftPerson) text(width int, version string, rate float64) []sheetLine {
	var out []sheetLine
	for _, f := range p.found {
		out = append(out, item(width, draw.Plain, "- ", told(f, version))...)
	}
	out = append(out, item(width, draw.Plain, "- ", p.summary(rate))...)
	if t, tried := p.alone(); tried {
		out = append(out, item(width, draw.Plain, "- ", t.lasting(version))...)
	}
	for _, t := range p.tries {
		out = append(out, item(width, draw.Plain, "- ", t.words(version))...)
	}
	return out
}

func (p driftPerson) summary(rate float64) string {
	name := named(p.name)
	if p.onTime.N == 0 {
		return name + ": no brews of the newest version"
	}
	text := fmt.Sprintf("%s: %d of %d brews on time throughout, at 95 %% %s; ", name, p.onTime.K, p.onTime.N, within(p.onTime))
	switch word := p.trendWord(rate); {
	case p.trend.Withheld != "":
		return text + "trend withheld: " + string(p.trend.Withheld)
	case word == "no trend":
		return text + "no trend"
	default:
		return text + "marks get " + word + " to their calls, by " + sizeOf(p.trend.Line.Slope) + " a week"
	}
}

// sizeOf is a slope's size in seconds; what would read 0.0 is less than a
// tenth.
func sizeOf(slope float64) string {
	if slope = max(slope, -slope); slope < 0.05 {
		return "less than 0.1 s"
	}
	return strings.TrimPrefix(amount(slope, "s"), "+")
}

// words says an attempt in words, and what of it could not be judged.
func (t driftTry) words(version string) string {
	text := t.outcome(version)
	switch t.Untold {
	case 0:
		return text
	case 1:
		return text + "; 1 beat is not judged, for the bed's lateness may be in it"
	}
	return text + fmt.Sprintf("; %d beats are not judged, for the bed's lateness may be in them", t.Untold)
}

// outcome says how an attempt stands.
func (t driftTry) outcome(version string) string {
	a := t.Attempt
	text := fmt.Sprintf("attempt of %d brews, opened %s%s: ", a.Brews, day(a.Opened), ofVersion(a.Version, version))
	switch t.Standing {
	case drift.Passed:
		return text + "passed"
	case drift.Failed:
		return text + fmt.Sprintf("failed after %d that went well, on %s: %s", t.Done, day(t.failed), t.Why)
	case drift.Void:
		return text + "void, " + t.Why
	case drift.GivenUp, drift.TakenBack:
		return text + fmt.Sprintf("%s after %d that went well", t.Standing, t.Done)
	}
	return text + fmt.Sprintf("under way, %d done", t.Done)
}

// lasting says how the person brews on the whole, however often was tried.
func (t driftTry) lasting(version string) string {
	return fmt.Sprintf("since the first attempt%s %d of %d brews were on time throughout, so that at 95 %% at least %s are; trying until it works does not raise that",
		ofVersion(t.Attempt.Version, version), t.OnTime, t.Of, percent(t.AtLeast))
}

// ofVersion names a version that is not the newest.
func ofVersion(version, newest string) string {
	if version == newest {
		return ""
	}
	return " at version " + version
}
