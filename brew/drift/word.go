package drift

import "barline/brew"

// Word is what is said of one mark.
type Word struct {
	Figure string  `json:"figure"` // the drift, '+2.4 s'; "" where there is no mark
	Says   string  `json:"says"`   // 'late, but carried'; else what became of the beat
	Cup    Verdict `json:"cup"`
	Own    Verdict `json:"own"` // on the slip, the person's or the bed's
}

// String returns the word as it is shown: '+2.4 s late', '-0.3 s on time'.
func (w Word) String() string {
	if w.Figure == "" {
		return w.Says
	}
	return w.Figure + " " + w.Says
}

// OfMark returns the word on the mark of the plan's beat n, an index into the
// plan's beats as brew.Outcome gives it.
func OfMark(lane brew.Lane, n int) Word { return rowOf(lane, n, reached(lane), behindBed(lane)).Word() }

// Word returns what is said of the row: its drift, and where cup and hand are
// not judged alike, whose doing it was. Where there is no mark it says what
// became of the beat.
func (r Row) Word() Word {
	if !r.IsMarked() {
		return Word{Says: r.fate()}
	}
	return Word{Figure: brew.Signed(Tenths(r.Drift)), Says: string(r.Cup) + r.whose(), Cup: r.Cup, Own: r.Own()}
}

// fate says what became of a beat without a mark.
func (r Row) fate() string {
	if r.Status == brew.Unmarked && !r.Reached {
		return "not reached"
	}
	return string(r.Status)
}

// whose adds to the cup's verdict whose doing it was, where that is not the
// same thing said twice.
func (r Row) whose() string {
	own, slip := r.Own(), brew.Signed(Tenths(r.Slip))
	switch {
	case r.IsUntold() && r.Cup.Off():
		return ", by the bed or the hand"
	case r.IsUntold():
		return ", the bed or the hand " + slip
	case r.Cup.Off() && own == OnTime:
		return ", but carried"
	case r.Owner == brew.Bed && own.Off() && Tenths(r.Carried) == 0:
		return ", by the bed"
	case r.Owner == brew.Bed && own.Off():
		return ", the bed " + slip + " " + string(own)
	case own != r.Cup:
		return ", the hand " + slip + " " + string(own)
	}
	return ""
}

// Note says what a slip outside its window cannot tell apart; "" where there
// is nothing to own up to.
func (r Row) Note() string {
	if r.IsUntold() {
		return r.unknown() + ", so what the bed did and what the hand did count together"
	}
	if !r.StartUnmarked || !r.Own().Off() {
		return ""
	}
	who, pace, start := "hand", "slow", "late"
	if r.Owner == brew.Bed {
		who = "bed"
	}
	if r.Slip < 0 {
		pace, start = "quick", "early"
	}
	return "the start was not marked, so a " + pace + " " + who + " and a start that was " + start + " count together"
}
