package main

import (
	"fmt"
	"strconv"
	"strings"

	"barline/brew"
)

// parseDose reads a dose from the command line: grams, with or without their
// unit.
func parseDose(text string) (brew.Mass, error) {
	figure := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "g"))
	if strings.Contains(figure, ",") {
		return 0, &inputError{fmt.Sprintf("dose %q has a decimal comma", text), "write it with a point: " + strings.ReplaceAll(figure, ",", ".") + " g"}
	}
	grams, err := strconv.ParseFloat(figure, 64)
	mass := brew.Mass(grams*float64(brew.Gram) + 0.5)
	if err != nil || !(mass >= brew.LeastDose && mass <= brew.MostDose) {
		return 0, &inputError{fmt.Sprintf("dose %q is not a weight from %s to %s", text, brew.LeastDose, brew.MostDose), "give grams, such as 15.5"}
	}
	return mass, nil
}
