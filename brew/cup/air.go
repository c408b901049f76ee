package cup

import "math"

// AltitudeOf returns the height above the sea, in metres, at which the
// standard atmosphere has a pressure in pascals: the inverse of PressureAt.
// The error is a *Slip for a pressure that is found at none of its heights.
func AltitudeOf(pascal float64) (metres float64, err error) {
	highest, _ := PressureAt(lowestAltitude)
	lowest, _ := PressureAt(highestAltitude)
	if s := outside("a pressure of", pascal, lowest, highest, " Pa"); s != nil {
		s.Hint = "one hPa is 100 Pa"
		return 0, s
	}
	geopotential := seaLevelTemperature / lapse * (1 - math.Pow(pascal/seaLevelPressure, 1/exponent))
	return earthRadius * geopotential / (earthRadius - geopotential), nil
}
