package draw

import "math"

// Ranges returns how far each value lies from the one before it, in the values'
// unit: what a chart of moving ranges shows, one fewer than there are values.
func Ranges(values []float64) []float64 {
	out := make([]float64, 0, max(len(values)-1, 0))
	for i := 1; i < len(values); i++ {
		out = append(out, math.Abs(values[i]-values[i-1]))
	}
	return out
}
