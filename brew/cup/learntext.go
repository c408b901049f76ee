package cup

import (
	"fmt"
	"math"
	"strings"
)

// step is a drift of the cause that people have a feeling for, in its unit.
func (c Cause) step() float64 {
	switch c {
	case Contact:
		return 10
	case Heated:
		return 1
	}
	return 5
}

// more says the step in words: 10 s more contact.
func (c Cause) more() string {
	step := fmt.Sprintf("%g %s", c.step(), c.Unit())
	switch c {
	case Contact:
		return step + " more contact"
	case Pressing:
		return step + " more of pressing"
	case Poured:
		return step + " more water"
	}
	return "a kettle " + step + " hotter"
}

// sentence says what an effect is, with its interval and how many brews say
// so. Brews that were not drawn by lot show what went with what, no more.
func (e Effect) sentence(f *Fit) string {
	by := e.Cause.step()
	low, high := e.In.Low*by, e.In.High*by
	way := "more"
	slope := e.Slope * by
	if slope < 0 {
		way, slope, low, high = "less", -slope, -high, -low
	}
	digits := 2
	if math.Abs(high) < 0.1 {
		digits = 3
	}
	text := fmt.Sprintf("%s went with %.*f points %s %s (%.*f to %.*f; %d brews).", e.Cause.more(), digits, slope, way, f.Reading, digits, low, digits, high, f.N)
	return strings.ToUpper(text[:1]) + text[1:]
}

// sentence says what a fit says on the whole.
func (f Fit) sentence() string {
	switch f.Withheld {
	case Mixed:
		return fmt.Sprintf("Nothing can be said of the %s: these are brews of several versions or lots.", f.Reading)
	case TooFewBrews:
		return fmt.Sprintf("Nothing can be said of the %s yet: %d brews of this version and lot have what it takes, and it takes %d.", f.Reading, f.N, f.Need)
	case NothingVaries:
		return fmt.Sprintf("Nothing can be said of the %s: no drift was kept that changes from brew to brew.", f.Reading)
	case MoveTogether:
		if len(f.Together) < 2 {
			return fmt.Sprintf("Nothing can be said of the %s: the drifts follow from each other.", f.Reading)
		}
		return fmt.Sprintf("Nothing can be said of the %s: the drifts of %s moved together, so that what each did cannot be told.", f.Reading, words(f.Together))
	}
	var said []string
	for _, e := range f.Effects {
		if e.Text != "" {
			said = append(said, e.Text)
		}
	}
	if len(said) == 0 {
		return fmt.Sprintf("No drift is seen to move the %s, in %d brews.", f.Reading, f.N)
	}
	return strings.Join(said, " ")
}
