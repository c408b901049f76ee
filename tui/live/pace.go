package live

import (
	"math"
	"time"
)

// Pace is how a timeline's clock runs beside the machine's.
type Pace struct {
	Zero  time.Duration // the machine's moment at which the timeline's clock reads 0:00
	Speed float64       // of the timeline's clock; more than 0
}

// At returns the moment of the timeline's clock for one of the machine's.
func (p Pace) At(machine time.Duration) time.Duration {
	return time.Duration(float64(machine-p.Zero) * p.Speed)
}

// When returns the first moment of the machine's clock at which the
// timeline's has reached a moment: an alarm set for it never goes off early,
// which would only set it anew.
func (p Pace) When(at time.Duration) time.Duration {
	machine := p.Zero + time.Duration(math.Ceil(float64(at)/p.Speed))
	for p.At(machine) < at {
		machine++
	}
	return machine
}
