package cup

import (
	"sort"

	"barline/brew"
)

// hottestLiquid bounds what is asked of liquid water, whose properties are
// those at one standard atmosphere.
const hottestLiquid = brew.MostTemperature

// Density returns what a cubic metre of water weighs at a temperature and one
// standard atmosphere, in kilograms, which is also what a litre weighs in
// grams (Kell 1975, Journal of Chemical and Engineering Data 20:97, equation
// 16, for 0 °C to 150 °C). The error is a *Slip outside 0 °C to 110 °C.
func Density(at brew.Celsius) (float64, error) {
	if s := temperature("water of", at, 0, hottestLiquid); s != nil {
		return 0, s
	}
	t := float64(at)
	above := 999.83952 + t*(16.945176+t*(-7.9870401e-3+t*(-46.170461e-6+t*(105.56302e-9+t*-280.54253e-12))))
	return above / (1 + 16.879850e-3*t), nil
}

// Grams returns what a volume of water in millilitres weighs at a temperature,
// in grams: a litre metered at 93 °C weighs 963 g. The error is Density's.
func Grams(millilitres float64, at brew.Celsius) (float64, error) {
	density, err := Density(at)
	return millilitres * density / 1000, err
}

// MillilitresOf returns the volume of a weight of water in grams at a
// temperature, in millilitres: the inverse of Grams. The error is Density's.
func MillilitresOf(grams float64, at brew.Celsius) (float64, error) {
	density, err := Density(at)
	if err != nil {
		return 0, err
	}
	return grams * 1000 / density, nil
}

// specificHeats are those of water at one standard atmosphere, in kJ a kg and
// K (IAPWS-95, worked out with an open implementation of it); at 110 °C that
// of the saturated liquid is taken on in a straight line.
var specificHeats = []struct{ at, heat float64 }{
	{0.01, 4.21941}, {4, 4.20750}, {10, 4.19516}, {20, 4.18405}, {30, 4.17982}, {40, 4.17941}, {50, 4.18134},
	{60, 4.18495}, {70, 4.19007}, {80, 4.19675}, {90, 4.20521}, {95, 4.21017}, {99.9743, 4.21564},
}

// SpecificHeat returns the heat that a gram of water takes up for each degree
// at a temperature and one standard atmosphere, in J, by straight lines
// between the values of IAPWS-95, which it follows to 0.002. The error is a
// *Slip outside 0 °C to 110 °C.
func SpecificHeat(at brew.Celsius) (float64, error) {
	if s := temperature("water of", at, 0, hottestLiquid); s != nil {
		return 0, s
	}
	t := float64(at)
	above := sort.Search(len(specificHeats), func(i int) bool { return specificHeats[i].at >= t })
	above = min(max(above, 1), len(specificHeats)-1)
	a, b := specificHeats[above-1], specificHeats[above]
	return a.heat + (b.heat-a.heat)*(t-a.at)/(b.at-a.at), nil
}
