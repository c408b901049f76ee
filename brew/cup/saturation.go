package cup

import (
	"math"

	"barline/brew"
)

// The temperatures between which water and steam stand side by side.
const (
	lowestBoil  = brew.Celsius(273.15 - kelvin)
	highestBoil = brew.Celsius(647.096 - kelvin)
)

// SteamPressure returns the pressure in pascals under which water boils at a
// temperature (IAPWS R7-97(2012), equation 30): the inverse of Boils. The
// error is a *Slip for a temperature outside 0 °C to 373.946 °C.
func SteamPressure(at brew.Celsius) (pascal float64, err error) {
	if s := temperature("a boiling point of", at, lowestBoil, highestBoil); s != nil {
		return 0, s
	}
	n, t := region4, float64(at)+kelvin
	theta := t + n[9]/(t-n[10])
	a := theta*theta + n[1]*theta + n[2]
	b := n[3]*theta*theta + n[4]*theta + n[5]
	c := n[6]*theta*theta + n[7]*theta + n[8]
	return 1e6 * math.Pow(2*c/(-b+math.Sqrt(b*b-4*a*c)), 4), nil
}

// BoilsAt returns where water boils at a height above the sea in metres, by
// PressureAt and Boils. Weather of 15 hPa to either side moves it by 0.4 °C.
func BoilsAt(metres float64) (brew.Celsius, error) {
	pascal, err := PressureAt(metres)
	if err != nil {
		return 0, err
	}
	return Boils(pascal)
}
