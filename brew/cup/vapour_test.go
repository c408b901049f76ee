package cup_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/cup"
)

// IAPWS R7-97(2012), tables 35 and 36: both equations of region 4 to all nine
// digits of the tables.
func TestSaturationIsThatOfIAPWSBothWays(t *testing.T) {
	pressures, temperatures := 0, 0
	for _, row := range rowsOf(t, "if97_region4.csv") {
		switch row["kind"] {
		case "psat":
			in, want := number(t, row["index_or_input"]), number(t, row["value"])
			got := must[float64](t)(cup.SteamPressure(brew.Celsius(in - 273.15)))
			within(t, "pressure in MPa at "+row["index_or_input"]+" K", got/1e6, want, 5e-10*math.Pow(10, math.Ceil(math.Log10(want))))
			pressures++
		case "tsat":
			in, want := number(t, row["index_or_input"]), number(t, row["value"])
			got := must[brew.Celsius](t)(cup.Boils(in * 1e6))
			within(t, "temperature in K at "+row["index_or_input"]+" MPa", float64(got)+273.15, want, 5e-7)
			temperatures++
		}
	}
	if pressures != 3 || temperatures != 3 {
		t.Errorf("%d pressures and %d temperatures", pressures, temperatures)
	}
	// p(100 °C) by the same equations with other code: 101.41798 kPa
	within(t, "pressure at 100 °C", must[float64](t)(cup.SteamPressure(100)), 101417.98, 0.005)
}

func TestBoilingAndSteamAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := brew.Celsius(rapid.Float64Range(0, 373.946).Draw(t, "°C"))
		pascal, err := cup.SteamPressure(at)
		if err != nil {
			t.Fatal(err)
		}
		back, err := cup.Boils(min(max(pascal, 611.213), 22.064e6)) // the edges are rounded
		if err != nil || math.Abs(float64(back-at)) > 2e-5 {
			t.Fatalf("%v gives %g Pa gives %v (%v)", at, pascal, back, err)
		}
		if more, _ := cup.SteamPressure(at - 0.01); at > 0.01 && more >= pascal {
			t.Fatalf("%g Pa at %v, %g Pa below", pascal, at, more)
		}
	})
	for _, at := range []brew.Celsius{-0.01, 373.95, brew.Celsius(math.NaN())} {
		if _, err := cup.SteamPressure(at); err == nil {
			t.Errorf("%v boils", at)
		}
	}
}

// Standard atmosphere (ISO 2533:1975) and boiling points by IF97, to 1e-3 K
// and better: worked out with other code. Heights are geometric, to 0.01 m.
func TestBoilingPointsFollowTheStandardAtmosphere(t *testing.T) {
	for _, row := range rowsOf(t, "water_boiling_vs_altitude.csv") {
		h := row["h_geometric_m_for_same_H"]
		within(t, "pressure at "+h+" m", must[float64](t)(cup.PressureAt(number(t, h))), number(t, row["p_Pa"]), 0.07)
		within(t, "boiling point at "+h+" m", float64(must[brew.Celsius](t)(cup.BoilsAt(number(t, h)))), number(t, row["T_boil_C"]), 1e-4)
	}
	for _, row := range rowsOf(t, "tsat_vs_pressure.csv") {
		got := must[brew.Celsius](t)(cup.Boils(1000 * number(t, row["p_kPa"])))
		within(t, "boiling point at "+row["p_kPa"]+" kPa", float64(got), number(t, row["T_sat_C"]), 6e-5)
	}
	if _, err := cup.BoilsAt(12000); err == nil {
		t.Error("water boils above the troposphere")
	}
}

func TestAltitudeAndPressureAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		metres := rapid.Float64Range(-499.9, 10999.9).Draw(t, "m")
		pascal, err := cup.PressureAt(metres)
		if err != nil {
			t.Fatal(err)
		}
		back, err := cup.AltitudeOf(pascal)
		if err != nil || math.Abs(back-metres) > 1e-6 {
			t.Fatalf("%g m gives %g Pa gives %g m (%v)", metres, pascal, back, err)
		}
	})
	_, err := cup.AltitudeOf(1013.25) // hPa
	slipOf(t, "hectopascals", err, cup.OutOfRange)
	_, err = cup.AltitudeOf(200e3)
	slipOf(t, "two atmospheres", err, cup.OutOfRange)
}

// Kell 1975, equation 16, worked out with other code to four decimals; IAPWS-95
// by an open implementation of it: Kell stays within 0.015 kg/m³ of it up to
// 100 °C. The specific heat is taken from the same table by straight lines.
func TestDensityAndSpecificHeatAreThePublishedOnes(t *testing.T) {
	for _, row := range rowsOf(t, "water_density_cp.csv") {
		at := brew.Celsius(number(t, row["T_C"]))
		density := must[float64](t)(cup.Density(at))
		within(t, "density at "+row["T_C"], density, number(t, row["rho_kell_kg_m3"]), 5.1e-5)
		within(t, "density by IAPWS-95 at "+row["T_C"], density, number(t, row["rho_iapws95_kg_m3"]), 0.015)
		within(t, "specific heat at "+row["T_C"], must[float64](t)(cup.SpecificHeat(at)), number(t, row["cp_iapws95_kJ_kgK"]), 0.002)
	}
	last := math.Inf(1)
	for at := brew.Celsius(4); at <= 110; at++ {
		density := must[float64](t)(cup.Density(at))
		if density >= last {
			t.Errorf("water gets no lighter at %v", at)
		}
		last = density
	}
	if at110 := must[float64](t)(cup.SpecificHeat(110)); at110 < 4.22 || at110 > 4.24 { // 4.228, saturated liquid, handbooks, from memory
		t.Errorf("specific heat %g at 110 °C", at110)
	}
	for _, at := range []brew.Celsius{-1, 111, brew.Celsius(math.NaN())} {
		if _, err := cup.Density(at); err == nil {
			t.Errorf("water has a density at %v", at)
		}
		if _, err := cup.SpecificHeat(at); err == nil {
			t.Errorf("water has a specific heat at %v", at)
		}
	}
}

// A litre metered at 93 °C weighs 963.28 g (Kell).
func TestMillilitresWeighLessWhenHot(t *testing.T) {
	within(t, "a hot litre", must[float64](t)(cup.Grams(1000, 93)), 963.2825, 5e-5)
	rapid.Check(t, func(t *rapid.T) {
		ml := rapid.Float64Range(0, 1e4).Draw(t, "ml")
		at := brew.Celsius(rapid.Float64Range(0, 110).Draw(t, "°C"))
		g, err := cup.Grams(ml, at)
		if err != nil {
			t.Fatal(err)
		}
		back, err := cup.MillilitresOf(g, at)
		if err != nil || math.Abs(back-ml) > 1e-9*ml {
			t.Fatalf("%g ml are %g g are %g ml (%v)", ml, g, back, err)
		}
	})
	if _, err := cup.Grams(100, 120); err == nil {
		t.Error("steam is weighed")
	}
	if _, err := cup.MillilitresOf(100, 120); err == nil {
		t.Error("steam is metered")
	}
}
