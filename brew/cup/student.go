package cup

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// student returns how many standard errors to each side hold the given share
// of Student's t with df degrees of freedom: 2.228 for 0.95 and 10.
func student(level, df float64) float64 {
	if math.IsInf(df, 1) {
		return mathext.NormalQuantile(1 - (1-level)/2)
	}
	x := mathext.InvRegIncBeta(df/2, 0.5, 1-level)
	return math.Sqrt(df * (1 - x) / x)
}
