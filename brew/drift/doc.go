// Package drift says how far the real timings of one brew were from the plan,
// and whose doing it was.
//
// A beat has three times: written in the plan, called on the screen, marked
// by the person. Drift is marked minus written and judges the cup. It is the
// sum of what was carried (called minus written), which came from before, and
// the slip (marked minus called), which was made at this beat and judges
// whoever owns it: the person, or the bed, whose lateness never counts
// against the person. A slip that may hold both, behind a bed that nobody
// marked, is nobody's (see Row.BehindBed). Late is positive, early negative.
//
// The way through the package:
//
//	Of, Conditions.Of   a lane to its Debrief
//	Debrief             rows, lengths, contact, lateness, one sentence
//	Row, OfMark         one beat: its times, its verdicts, its word
//	Length              how long a pour, a press, a drawdown or contact took
//	Lateness            where the time went, as sums that add up
//	Sentence            the same in words
//
// All of these are values with exact times. What is said of them is said to a
// tenth of a second (see Tenths), for a key pressed by a person bears nothing
// finer, and a verdict follows from the figure that is shown: nothing shown
// as 0.0 s is late. Encoded as JSON, times are whole nanoseconds and masses
// whole milligrams, which their keys say (drift_ns, target_mg).
//
// Of many brews see Record and stat. Names of persons and recipes are compared
// by Same. It does not keep a record on disk or draw.
package drift
