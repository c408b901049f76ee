package cup

import (
	"math"

	"barline/brew"
)

// Constants of the standard atmosphere (ISO 2533:1975, ICAO Doc 7488).
const (
	seaLevelPressure    = 101325.0  // Pa
	seaLevelTemperature = 288.15    // K
	lapse               = 0.0065    // K a metre, up to 11 km
	exponent            = 5.2558798 // g0 / (R · lapse)
	earthRadius         = 6356766.0 // m
)

// The altitudes between which the troposphere's formula is used, in metres.
const (
	lowestAltitude  = -500.0
	highestAltitude = 11000.0
)

// PressureAt returns the standard pressure in pascals at a height above the
// sea in metres, by the standard atmosphere's troposphere (ISO 2533:1975). The
// error is a *Slip outside -500 m to 11000 m.
func PressureAt(metres float64) (pascal float64, err error) {
	if !(lowestAltitude <= metres && metres <= highestAltitude) {
		return 0, slip(OutOfRange, "", "", "an altitude outside %g m to %g m", lowestAltitude, highestAltitude)
	}
	geopotential := earthRadius * metres / (earthRadius + metres)
	return seaLevelPressure * math.Pow(1-lapse*geopotential/seaLevelTemperature, exponent), nil
}

// The coefficients n1 to n10 of region 4 (IAPWS R7-97(2012), table 34), from
// index 1 on.
var region4 = [11]float64{
	1: 0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5, -0.32325550322333e7,
	0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
}

// The pressures that the saturation line spans, in pascals.
const (
	lowestSaturation  = 611.213
	highestSaturation = 22.064e6
)

const kelvin = 273.15

// Boils returns the temperature at which water boils under a pressure in
// pascals (IAPWS R7-97(2012), equation 31). The error is a *Slip outside
// 611.213 Pa to 22.064 MPa.
func Boils(pascal float64) (brew.Celsius, error) {
	if !(lowestSaturation <= pascal && pascal <= highestSaturation) {
		return 0, slip(OutOfRange, "", "", "a pressure outside %g Pa to %g Pa, where water boils", lowestSaturation, highestSaturation)
	}
	n := region4
	beta := math.Pow(pascal/1e6, 0.25)
	e := beta*beta + n[3]*beta + n[6]
	f := n[1]*beta*beta + n[4]*beta + n[7]
	g := n[2]*beta*beta + n[5]*beta + n[8]
	d := 2 * g / (-f - math.Sqrt(f*f-4*e*g))
	t := (n[10] + d - math.Sqrt((n[10]+d)*(n[10]+d)-4*(n[9]+n[10]*d))) / 2
	return brew.Celsius(t - kelvin), nil
}
