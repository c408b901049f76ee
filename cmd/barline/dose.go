package main

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"barline/brew"
	"barline/recipes"
)

// usageError is a command line that is at fault, with one thing to do.
type usageError struct{ message, hint string }

func (e *usageError) Error() string { return e.message }

// misused returns the error for a flag whose value cannot be read.
func misused(flag, text string, err error) error {
	var wrong *recipes.Wrong
	if errors.As(err, &wrong) {
		return &usageError{flag + " " + wrong.Message, wrong.Hint}
	}
	return &usageError{fmt.Sprintf("%s %q: %s", flag, text, err), ""}
}

// withUnit adds a unit to a figure that has none: on the command line grams
// and seconds go without saying.
func withUnit(text, unit string) string {
	text = strings.TrimSpace(text)
	if text != "" && strings.Trim(text, "0123456789.,") == "" {
		return text + " " + unit
	}
	return text
}

// parseDose reads a dose from the command line: grams, unless it says
// otherwise.
func parseDose(text string) (brew.Mass, error) {
	mass, err := recipes.ReadMass(withUnit(text, "g"))
	if err != nil {
		return 0, misused("--dose", text, err)
	}
	if mass < brew.LeastDose || mass > brew.MostDose {
		return 0, &usageError{fmt.Sprintf("--dose %q is outside %s to %s", text, brew.LeastDose, brew.MostDose), "give grams, such as 15.5"}
	}
	return mass, nil
}

// parseFrom reads a moment of the plan: m:ss, or seconds.
func parseFrom(text string, plan *brew.Plan) (time.Duration, error) {
	if text == "" {
		return 0, nil
	}
	at, err := recipes.ReadLength(withUnit(text, "s"))
	if err != nil {
		return 0, misused("--from", text, err)
	}
	if at >= plan.End {
		return 0, &usageError{fmt.Sprintf("--from %q is not before the end, %s", text, brew.Exact(plan.End)), "give a time such as 0:30"}
	}
	return at, nil
}

// parseCountIn reads the length of the count-in: seconds, unless it says
// otherwise.
func parseCountIn(text string) (time.Duration, error) {
	d, err := readSpan(withUnit(text, "s"), time.Minute)
	if err != nil {
		return 0, misused("--count-in", text, err)
	}
	return d, nil
}
