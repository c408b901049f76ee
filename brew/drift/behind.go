package drift

import (
	"time"

	"barline/brew"
)

// behindBed returns of each beat of the person's whether what the bed did may be
// in its slip; nil where it is in none. So it is
//   - where a bed's beat that stands before, in the plan, was not marked since
//     the last mark: how late the bed was is then seen in the next mark alone;
//   - where the bed, or a beat that waited for it, was done only after this
//     one was called, as one that is pinned to the clock may be, or after a
//     beat before it was that nobody marked.
//
// What was called in the very moment in which that was done counts as held up.
// Each mark says where things stand, so what hangs behind it is the hand's again.
// A drawdown that was skipped was ended by the skip.
func behindBed(lane brew.Lane) (out []bool) {
	open, done := false, time.Duration(-1)
	for n := range lane.Plan().Beats {
		beat, state := &lane.Plan().Beats[n], lane.Beat(n)
		switch marked := state.Status == brew.Marked; {
		case !marked:
			unknown := state.Status == brew.Waiting || state.Status == brew.Unmarked
			open = open || unknown && (beat.Owner == brew.Bed || state.Called <= done)
		case beat.Owner == brew.Bed:
			open, done = false, max(done, state.Marked)
		case open || state.Called <= done:
			if out == nil {
				out = make([]bool, len(lane.Plan().Beats))
			}
			out[n], open, done = true, false, max(done, state.Marked)
		}
	}
	return out
}
