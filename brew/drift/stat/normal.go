package stat

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// below returns the share of a normal distribution that lies below z sigma.
func below(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// twoSided returns how often a normal value strays z sigma or more to either
// side.
func twoSided(z float64) float64 { return math.Erfc(math.Abs(z) / math.Sqrt2) }

// sigmas returns how many sigma to each side hold the given share of a normal
// distribution: 1.96 for 0.95.
func sigmas(level float64) float64 { return mathext.NormalQuantile(1 - (1-level)/2) }

// upper returns how many sigma above the middle the share p of a normal
// distribution begins: 1.96 for 0.025.
func upper(p float64) float64 { return -mathext.NormalQuantile(p) }

// chiSquared returns the value below which the share p of a chi-squared
// distribution with df degrees of freedom lies.
func chiSquared(p, df float64) float64 { return 2 * mathext.GammaIncRegInv(df/2, p) }
