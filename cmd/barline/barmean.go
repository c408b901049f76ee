package main

import (
	"math"

	"barline/brew/drift/stat"

	"gonum.org/v1/gonum/mathext"
)

// meanWithin is a mean with the interval that holds the true one at a level, by
// Student's distribution; infinite where one value says nothing of chance.
type meanWithin struct{ mean, low, high float64 }

func meanOf(xs []float64, level float64) meanWithin {
	mean, sd := stat.MeanSD(xs)
	if len(xs) < 2 {
		return meanWithin{mean, math.Inf(-1), math.Inf(1)}
	}
	half := studentQuantile(level, len(xs)-1) * sd / math.Sqrt(float64(len(xs)))
	return meanWithin{mean, mean - half, mean + half}
}

// studentQuantile returns how many standard errors to either side hold the
// mean at a level, with so many degrees of freedom (Abramowitz and Stegun
// 1964, 26.7.1, by the incomplete beta function).
func studentQuantile(level float64, free int) float64 {
	df := float64(free)
	x := mathext.InvRegIncBeta(df/2, 0.5, 1-level)
	return math.Sqrt(df * (1 - x) / x)
}
