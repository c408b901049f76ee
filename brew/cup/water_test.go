package cup_test

import (
	"math"
	"testing"

	"barline/brew/cup"
)

// IAPWS R7-97(2012), table 36: saturation temperatures for three pressures,
// to the table's digits. The fourth is 1 atm, computed from the same
// equations.
func TestWaterBoilsWhereIAPWSSays(t *testing.T) {
	for pascal, kelvin := range map[float64]float64{0.1e6: 372.755919, 1e6: 453.035632, 10e6: 584.149488, 101325: 373.1243} {
		got, err := cup.Boils(pascal)
		tolerance := 5e-7
		if pascal == 101325 {
			tolerance = 5e-5
		}
		if err != nil || math.Abs(float64(got)+273.15-kelvin) > tolerance {
			t.Errorf("%g Pa: %.6f K (%v), want %.6f K", pascal, float64(got)+273.15, err, kelvin)
		}
	}
	for _, pascal := range []float64{0, 611, 23e6, math.NaN()} {
		_, err := cup.Boils(pascal)
		slipOf(t, "a pressure", err, cup.OutOfRange)
	}
}

// ISO 2533:1975, geometric altitudes, and the boiling points that follow.
func TestTheAirThinsAsTheStandardAtmosphere(t *testing.T) {
	for metres, pascal := range map[float64]float64{0: 101325, 500: 95461.3, 1000: 89876.3, 1500: 84559.7, 2000: 79501.4, 3000: 70121.1, 4000: 61660.4} {
		got, err := cup.PressureAt(metres)
		if err != nil || math.Abs(got-pascal) > 0.06 {
			t.Errorf("%g m: %.2f Pa (%v), want %.1f Pa", metres, got, err, pascal)
		}
	}
	for _, metres := range []float64{-501, 11001, math.NaN()} {
		_, err := cup.PressureAt(metres)
		slipOf(t, "an altitude", err, cup.OutOfRange)
	}
}

func TestWaterBoilsCoolerTheHigherTheBar(t *testing.T) {
	last := 102.0
	for m := -500.0; m <= 11000; m += 100 {
		p, err := cup.PressureAt(m)
		if err != nil {
			t.Fatal(err)
		}
		got, err := cup.Boils(p)
		if err != nil || float64(got) >= last || m > -500 && last-float64(got) > 0.4 {
			t.Fatalf("%g m: %.3f °C after %.3f °C (%v)", m, got, last, err)
		}
		last = float64(got)
	}
}
