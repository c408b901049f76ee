package drift

import (
	"time"

	"barline/brew"
)

// Length is how long a cue took, or how long water and coffee were together.
type Length struct {
	Cue    int         `json:"cue"` // index into the plan's cues; -1 for contact
	Key    string      `json:"key"` // 'second pour', 'contact time'
	Name   string      `json:"name"`
	Action brew.Action `json:"action"` // "" for contact
	Owner  brew.Owner  `json:"owner"`  // of its end

	Written time.Duration `json:"written_ns"`
	Took    time.Duration `json:"took_ns"`
	Drift   time.Duration `json:"drift_ns"` // took minus written; + is longer
	// Measured says that marks tell both of its ends. Where it is false an
	// end was taken as called, and there is no verdict.
	Measured bool    `json:"measured"`
	Verdict  Verdict `json:"verdict"` // of the drift, in the window of the beat that ends it
}

// Word returns what is said of the length: '18.4 s, +2.4 s longer'; '18.4 s,
// +2.4 s by calls' where an end of it was not marked.
func (l Length) Word() string {
	says := "by calls"
	if l.Measured {
		says = string(l.Verdict)
	}
	return figure(l.Took) + ", " + brew.Signed(Tenths(l.Drift)) + " " + says
}

// cupMakers are the actions whose lengths make the cup.
var cupMakers = map[brew.Action]bool{brew.Pour: true, brew.Press: true, brew.Drawdown: true}

// lengthsOf returns the lengths of the cues whose end is marked: of all where
// the start is known too, of pours, presses and drawdowns in any case.
func lengthsOf(lane brew.Lane) []Length {
	out := []Length{}
	for i, c := range lane.Plan().Cues {
		end := lane.Beat(c.EndBeat)
		known := startKnown(lane, i)
		if end.Status == brew.Marked && (known || cupMakers[c.Action]) {
			out = append(out, lengthOf(lane, i, known))
		}
	}
	return out
}

func lengthOf(lane brew.Lane, cue int, measured bool) Length {
	c := lane.Plan().Cues[cue]
	end := lane.Plan().Beats[c.EndBeat]
	begin, finish := lane.Span(cue)
	l := Length{Cue: cue, Key: c.Key, Name: c.Name, Action: c.Action, Owner: end.Owner, Written: c.Length(), Took: finish - begin, Measured: measured}
	return l.judged(end.Window)
}

// judged fills in the drift, and the verdict where it was measured.
func (l Length) judged(w brew.Window) Length {
	l.Drift = l.Took - l.Written
	if !l.Measured {
		return l
	}
	l.Verdict = map[Verdict]Verdict{OnTime: AsWritten, Early: Shorter, Late: Longer}[Judge(l.Drift, w)]
	return l
}

// contactKey is known from every step's key: an id has no space, and a key made
// of an ordinal and an action is none of this.
const contactKey = "contact time"

// contactOf returns how long water and coffee were together in a lane that
// has got as far as the moment end; nil where the plan has no such time or the
// brew did not get that far.
func contactOf(lane brew.Lane, end time.Duration) *Length {
	took, measured, ok := lane.Contact()
	if !ok {
		return nil
	}
	beat, at := contactEnd(lane, took)
	if at > end {
		return nil
	}
	l := Length{Cue: -1, Key: contactKey, Name: "contact", Owner: beat.Owner, Written: lane.Plan().Contact, Took: took, Measured: measured}
	l = l.judged(beat.Window)
	return &l
}

// contactEnd returns the beat that ends contact, and its moment. The plan
// looks at every edge that might; it is the one that fits the length.
func contactEnd(lane brew.Lane, took time.Duration) (brew.Beat, time.Duration) {
	p := lane.Plan()
	var asked []brew.Point
	p.ContactBy(func(at brew.Point) (time.Duration, bool) {
		asked = append(asked, at)
		return 0, len(asked) == 1 // the start, and none of the ends, so that it goes on to the next
	})
	from, _ := lane.Span(asked[0].Cue)
	for _, at := range asked[1:] {
		begin, finish := lane.Span(at.Cue)
		if at.Edge == brew.StartEdge && begin == from+took {
			return p.Beats[p.Cues[at.Cue].StartBeat], begin
		}
		if at.Edge == brew.EndEdge && finish == from+took {
			return p.Beats[p.Cues[at.Cue].EndBeat], finish
		}
	}
	return brew.Beat{}, from + took
}
