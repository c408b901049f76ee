package demo

import (
	"math/rand/v2"
	"time"
)

// person is somebody who brews, and how their marks fall about the call when
// nothing is special.
type person struct {
	name   string
	usual  float64 // seconds behind the call, in the middle
	spread float64 // standard deviation, in seconds
	misses float64 // share of marks that never come
}

// The persons of the bar.
const (
	Ada = "Ada" // ready to brew alone
	Mo  = "Mo"
	Jun = "Jun" // improves
)

var crew = []person{
	{Ada, 0.1, 0.6, 0.03},
	{Mo, 0.5, 1.2, 0.05},
	{Jun, 0.3, 1.0, 0.07},
}

// slip draws how far behind the call a mark of the person's falls, in seconds.
// It is skewed as hands are, seldom much too early, and now and then something
// takes longer than it should.
func (p person) slip(draw *rand.Rand) float64 {
	s := p.usual + p.spread*skewed(draw)
	if draw.Float64() < 0.03 {
		s += 2 * draw.ExpFloat64()
	}
	return s
}

// steady is slip of somebody who knows that every beat counts.
func (p person) steady(draw *rand.Rand) float64 { return p.usual + p.spread*skewed(draw) }

// skewed draws from a gamma distribution of shape 4, brought to mean 0 and
// standard deviation 1.
func skewed(draw *rand.Rand) float64 {
	sum := draw.ExpFloat64() + draw.ExpFloat64() + draw.ExpFloat64() + draw.ExpFloat64()
	return (sum - 4) / 2
}

// bedSpread is the standard deviation of when a bed is dry, in seconds.
const bedSpread = 4

func seconds(s float64) time.Duration {
	return time.Duration(s * float64(time.Second)).Round(time.Millisecond)
}
