package live

import (
	"fmt"
	"strconv"
	"strings"

	"barline/brew"
)

// ReadingAsk is one reading that is asked for after a brew.
type ReadingAsk struct {
	Prompt string
	// Take reads what was typed into the correction; an empty text leaves it
	// as it is, and TakesBack takes back what stands. The error says what was
	// found and what was wanted.
	Take func(c *brew.Correction, text string) error
	Now  func(r brew.Reading) string // what it is so far, in words; "" for nothing
}

// TakesBack is typed in place of a reading that was wrong and is not known.
const TakesBack = "-"

// Readings are asked for one after the other.
var Readings = []ReadingAsk{
	{"beverage in the server, g", func(c *brew.Correction, text string) error {
		if takesBack(text) {
			c.Beverage = new(brew.Mass)
			return nil
		}
		grams, left, err := number(text, "g", 20_000)
		if err == nil && !left {
			m := brew.Mass(grams*float64(brew.Gram) + 0.5)
			c.Beverage = &m
		}
		return err
	}, beverageText},
	{"strength, %", func(c *brew.Correction, text string) error {
		if takesBack(text) {
			c.Strength = new(brew.Percent)
			return nil
		}
		percent, left, err := number(text, "%", 30)
		if err == nil && !left {
			s := brew.Percent(percent)
			c.Strength = &s
		}
		return err
	}, strengthText},
	{"taste", func(c *brew.Correction, text string) error {
		switch text = strings.TrimSpace(text); {
		case takesBack(text):
			c.Taste = new(string)
		case text != "":
			c.Taste = &text
		}
		return nil
	}, func(r brew.Reading) string { return r.Taste }},
}

func takesBack(text string) bool { return strings.TrimSpace(text) == TakesBack }

func beverageText(r brew.Reading) string {
	if r.Beverage == nil {
		return ""
	}
	return r.Beverage.String()
}

func strengthText(r brew.Reading) string {
	if r.Strength == nil {
		return ""
	}
	return fmt.Sprintf("%g %%", float64(*r.Strength))
}

// least is the smallest figure that a reading can be: a milligram, and what no
// instrument shows of a strength. 0 means that nothing was measured.
const least = 0.001

// number reads a figure that may carry its unit; left is that there is none.
func number(text, unit string, most float64) (n float64, left bool, err error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0, true, nil
	}
	figure := strings.TrimSpace(strings.TrimSuffix(text, unit))
	if strings.Contains(figure, ",") {
		return 0, false, fmt.Errorf("%q: write the decimal with a point", text)
	}
	n, err = strconv.ParseFloat(figure, 64)
	if err != nil || !(n >= least && n <= most) {
		return 0, false, fmt.Errorf("%q is not a figure in %s between 0 and %g", text, unit, most)
	}
	return n, false, nil
}

// readingText is what was measured, in words.
func readingText(r brew.Reading) string {
	var parts []string
	if text := beverageText(r); text != "" {
		parts = append(parts, "beverage "+text)
	}
	if text := strengthText(r); text != "" {
		parts = append(parts, "strength "+text)
	}
	if r.Taste != "" {
		parts = append(parts, "taste: "+r.Taste)
	}
	return strings.Join(parts, ", ")
}
