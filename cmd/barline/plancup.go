package main

import (
	"barline/brew"
	"barline/brew/cup"
)

// jsonAhead is what is known of a plan's cup before it is brewed, as the text
// of the plan says it; null where it is not known.
type jsonAhead struct {
	AimStrength   *float64 `json:"aim_strength_pct"`
	AimExtraction *float64 `json:"aim_extraction_pct"`
	jsonExpected
	Boiling  *float64 `json:"boiling_c"`   // at the bar; null where nobody said where that is
	RestFrom float64  `json:"rest_from_c"` // the boil that the rest counts from: the bar's, else that at the sea
	Rest     *float64 `json:"rest_s"`      // null where no kettle was calibrated: there is only the range
	RestLow  *float64 `json:"rest_low_s"`
	RestHigh *float64 `json:"rest_high_s"`
}

// cupAhead returns what is known ahead of a plan's cup at a bar where water
// boils so (0 where nobody said), by a kettle (zero where nobody calibrated it).
func cupAhead(p *brew.Plan, boils brew.Celsius, k cup.Kettle) jsonAhead {
	out := jsonAhead{
		AimStrength:   some(float64(p.Aim.Strength), p.Aim.Strength > 0),
		AimExtraction: some(float64(p.Aim.Extraction), p.Aim.Extraction > 0),
		jsonExpected:  expectedJSON(cup.Expect(p)),
		Boiling:       some(thousandth(float64(boils)), boils != 0),
	}
	if boils == 0 {
		boils, _ = cup.BoilsAt(0) // as the text has it
	}
	out.RestFrom = thousandth(float64(boils))
	rest, err := cup.RestFor(boils, p.Temperature, cup.UsualAir, k)
	known := err == nil
	out.Rest = some(rounded(rest.Wait.Seconds(), 1), known && (rest.Calibrated || rest.High == 0))
	out.RestLow = some(rounded(rest.Low.Seconds(), 1), known)
	out.RestHigh = some(rounded(rest.High.Seconds(), 1), known)
	return out
}
