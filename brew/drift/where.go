package drift

import (
	"math"

	"barline/brew"
)

// Where is where the time of many brews goes: for each beat its drift, summed,
// and how much of it was made there and how much came from before. All times
// are sums in seconds over the brews; late is positive, so that early and late
// brews cancel out. It holds: Drift = Carried + Slip for each beat, and Carried
// is the sum of what its sources gave and of Other.
type Where struct {
	Brews  int         `json:"brews"`
	Marked int         `json:"marked"` // of the brews, those with a mark
	Beats  []BeatWhere `json:"beats"`  // those asked, in the plan's order

	// The same for whole brews, as Lateness has it: Total = Person + Bed +
	// Untold + Between, the total being the drift of the last marked beat.
	Total   float64 `json:"total_s"`
	Person  float64 `json:"person_s"`
	Bed     float64 `json:"bed_s"`
	Untold  float64 `json:"untold_s"`  // the hand's or the bed's, see Row.BehindBed
	Between float64 `json:"between_s"` // mostly negative: what pauses of the recipe took up
	// Withheld says why the sums of whole brews tell nothing: too few of them
	// have a mark, or more than one mark in five is missing.
	Withheld Reason `json:"withheld"`
}

// Mean returns one of the sums of whole brews in the mean of those with a mark.
func (w Where) Mean(sum float64) Figure { return meanOf(sum, w.Marked, w.Withheld) }

// Mean returns one of the beat's sums in the mean of its marks.
func (b BeatWhere) Mean(sum float64) Figure { return meanOf(sum, b.Marked, b.Withheld) }

func meanOf(sum float64, n int, why Reason) Figure {
	if why != "" {
		return Figure{Withheld: why}
	}
	return Figure{Value: sum / float64(n)}
}

// BeatWhere is where the drift of one beat comes from.
type BeatWhere struct {
	Column   Column    `json:"column"`
	Marked   int       `json:"marked"`
	Unmarked int       `json:"unmarked"` // though waited for
	Drift    float64   `json:"drift_s"`
	Carried  float64   `json:"carried_s"`
	Slip     float64   `json:"slip_s"`
	Untold   float64   `json:"untold_s"` // of Slip, what is the hand's or the bed's
	Withheld Reason    `json:"withheld"` // why its sums tell nothing, as Where's
	From     []float64 `json:"from_s"`   // of Carried, what the slip of each beat before gave; index as Where.Beats
	Other    float64   `json:"other_s"`  // of Carried, what no beat before accounts for: another brew came first, a step was skipped
}

// Where returns where the time goes in the set's brews of its newest version.
//
// What a beat inherits is traced back brew by brew. Each slip goes on to the
// next beat. Where that one is called less late than the last was, because a
// pause took some up, all that is on its way shrinks in the same proportion;
// where it is called later than what is on its way, the rest is Other. The
// rule of proportion is ours: the clock does not know whose seconds a pause
// took up.
func (s Set) Where() Where {
	var w Where
	columns := s.columns()
	place := make([]int, len(s.record.columns)) // of a column among the beats, from 1
	for _, n := range columns {
		if c := s.record.columns[n]; c.What == Beats {
			w.Beats = append(w.Beats, BeatWhere{Column: c})
			place[n] = len(w.Beats)
		}
	}
	for i := range w.Beats {
		w.Beats[i].From = make([]float64, len(w.Beats))
	}
	onTheWay := make([]float64, len(w.Beats))
	for _, n := range s.brews {
		if k := &s.record.brews[n]; int(k.version) == s.newest {
			w.add(s.record.cellsOf(k), place, onTheWay)
		}
	}
	w.withhold()
	return w
}

// withhold says what tells nothing. The least number is a mean's.
func (w *Where) withhold() {
	all := Tally{}
	for i := range w.Beats {
		b := &w.Beats[i]
		b.Withheld = leastMean.withheld(Tally{Marked: b.Marked, Unmarked: b.Unmarked})
		all.Marked, all.Unmarked = all.Marked+b.Marked, all.Unmarked+b.Unmarked
	}
	if w.Withheld = all.gaps(); w.Marked < leastMean.N {
		w.Withheld = TooFew
	}
}

// add takes in one brew.
func (w *Where) add(cells []cell, place []int, onTheWay []float64) {
	clear(onTheWay)
	last, other, marked := 0.0, 0.0, false
	w.Brews++
	for _, c := range cells {
		b := place[c.column] - 1
		if b < 0 {
			continue
		}
		beat := &w.Beats[b]
		if c.fate == Unmarked {
			beat.Unmarked++
		}
		if c.fate != Marked {
			continue
		}
		marked = true
		carried, slip := c.value(Beats, ByCarried), c.value(Beats, BySlip)
		other = shrink(onTheWay, other, carried)
		for j, given := range onTheWay {
			beat.From[j] += given
		}
		beat.Marked++
		beat.Other += other
		beat.Carried, beat.Slip, beat.Drift = beat.Carried+carried, beat.Slip+slip, beat.Drift+carried+slip
		onTheWay[b] += slip
		w.Between += carried - last
		last = carried + slip
		switch {
		case beat.Column.Owner == brew.Bed:
			w.Bed += slip
		case c.behindBed():
			w.Untold, beat.Untold = w.Untold+slip, beat.Untold+slip
		default:
			w.Person += slip
		}
	}
	w.Total += last
	if marked {
		w.Marked++
	}
}

// shrink makes what is on its way, and what is of other origin, add up to what
// is carried, and returns the latter.
func shrink(onTheWay []float64, other, carried float64) float64 {
	sum := other
	for _, x := range onTheWay {
		sum += x
	}
	if math.Abs(carried-sum) < 1e-9 {
		return other
	}
	left := 0.0 // nothing of it, where it was late and is early now
	if sum != 0 {
		left = max(0, min(carried/sum, 1))
	}
	for i := range onTheWay {
		onTheWay[i] *= left
	}
	return other*left + carried - sum*left
}

// Source returns which beat before gave most of what beat i carries in the
// direction of its drift, and its share of the whole drift, 0 to 1; -1 where
// none gave anything, or too little is known of it or of the beat.
func (w Where) Source(i int) (beat int, share float64) {
	b := w.Beats[i]
	beat = -1
	for j, given := range b.From {
		if b.Withheld != "" || w.Beats[j].Withheld != "" {
			continue
		}
		if part := given / b.Drift; part > share {
			beat, share = j, part
		}
	}
	return beat, min(share, 1)
}
