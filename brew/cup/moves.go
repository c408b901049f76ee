package cup

import (
	"fmt"
	"math"

	"barline/brew"
)

// Move is a change to a recipe that should bring a cup nearer to its aim:
// common practice, no source, and never a certainty. One change at a time.
type Move struct {
	Do  string // grind finer
	Why string
}

// Moves returns which way to move, the change to try first in front, none
// where the cup is as aimed. The extraction is mended first, by grind, time
// and heat; strength with the right extraction, or with none read, by how much
// coffee there is to the water. A figure that was not read is 0.
func Moves(strength, extraction Quantity, aim brew.Aim) []Move {
	far := func(n Name, q Quantity, aim brew.Percent) float64 {
		miss := q.Value - float64(aim)
		if q.Value == 0 || aim == 0 || math.Abs(miss) <= math.Max(2*q.U, LeastMiss(n)) {
			return 0
		}
		return miss
	}
	low := func(n Name, miss float64) string {
		if miss < 0 {
			return fmt.Sprintf("the %s is %s points below its aim", n, decimal(math.Round(-miss*100)/100))
		}
		return fmt.Sprintf("the %s is %s points above its aim", n, decimal(math.Round(miss*100)/100))
	}
	if miss := far(Extraction, extraction, aim.Extraction); miss != 0 {
		do := []string{"grind finer", "keep it in contact longer", "use hotter water"}
		if miss > 0 {
			do = []string{"grind coarser", "keep it in contact for less long", "use cooler water"}
		}
		var out []Move
		for _, d := range do {
			out = append(out, Move{d, low(Extraction, miss)})
		}
		return out
	}
	if miss := far(Strength, strength, aim.Strength); miss < 0 {
		return []Move{{"use more coffee for the water", low(Strength, miss)}}
	} else if miss > 0 {
		return []Move{{"use less coffee for the water", low(Strength, miss)}}
	}
	return nil
}
