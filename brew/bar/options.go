package bar

import "math"

// worst is a price that every plan beats.
const worst price = math.MaxInt

// options switch off what only makes the search faster, so that it can be
// shown to change nothing else.
type options struct {
	bounds   bool // more than each order alone
	activity bool // no order left out of a place that stays free
	tight    bool // tight points where every window is closed
	always   bool // tight points even where the net is known to be faster
	polish   bool // improve plans by insertion
	start    *Plan
}

var everything = options{bounds: true, activity: true, tight: true, polish: true}
