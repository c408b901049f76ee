package brew

import (
	"strconv"
	"strings"
)

// Mass is a mass in whole milligrams, so that weights add up exactly.
type Mass int64

// The units of mass that recipes may use.
const (
	Milligram Mass = 1
	Gram           = 1000 * Milligram
	Kilogram       = 1000 * Gram
)

// tenth is the step of a bar's scale.
const tenth = Gram / 10

// MilligramsPerOunce is the international avoirdupois ounce, 28.349523125 g
// exactly (international yard and pound agreement, 1959).
const MilligramsPerOunce = 28349.523125

// Grams returns the mass in grams.
func (m Mass) Grams() float64 { return float64(m) / float64(Gram) }

// Decimal returns the mass in grams as the shortest exact decimal, without
// its unit: 14, 0.5, 210.25.
func (m Mass) Decimal() string {
	sign, size := "", uint64(m)
	if m < 0 {
		sign, size = "-", -size
	}
	text := strconv.FormatUint(size/uint64(Gram), 10)
	if rest := size % uint64(Gram); rest != 0 {
		text += "." + strings.TrimRight(strconv.FormatUint(1000+rest, 10)[1:], "0")
	}
	return sign + text
}

// String returns the mass with its unit: "14 g".
func (m Mass) String() string { return m.Decimal() + " g" }

// Tenths returns the mass rounded to a tenth of a gram, halves away from
// zero: the step of a bar's scale.
func (m Mass) Tenths() Mass {
	half := tenth / 2
	if m < 0 {
		half = -half
	}
	return (m + half) / tenth * tenth
}
