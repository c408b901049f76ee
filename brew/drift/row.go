package drift

import (
	"encoding/json"
	"time"

	"barline/brew"
)

// Row is what became of one asked beat. Times are on the lane's clock. Where
// Status is not marked there is no mark to speak of: Marked, Raw, Drift and
// Slip are zero and no verdict is given; JSON says null.
type Row struct {
	Beat   int           `json:"beat"` // index into the plan's beats
	Key    string        `json:"key"`  // 'second pour, end': the beat's identity in statistics
	Name   string        `json:"name"` // for people
	Cue    int           `json:"cue"`  // index into the plan's cues
	Edge   brew.Edge     `json:"edge"` // which end of that cue
	Step   string        `json:"step"` // the cue's name
	Action brew.Action   `json:"action"`
	Length time.Duration `json:"length_ns"` // of the cue as written
	Owner  brew.Owner    `json:"owner"`
	Window brew.Window   `json:"-"`
	Status brew.Status   `json:"status"`
	// Reached is false where the brew ended before the beat was called, has
	// not got there yet, or was started behind it.
	Reached bool `json:"reached"`

	Written time.Duration `json:"written_ns"`
	Called  time.Duration `json:"called_ns"`
	Marked  time.Duration `json:"marked_ns"` // nudges taken off
	Raw     time.Duration `json:"raw_ns"`    // when the key was pressed

	Drift   time.Duration `json:"drift_ns"`   // marked minus written; Carried + Slip
	Carried time.Duration `json:"carried_ns"` // called minus written; of an unmarked beat too
	Slip    time.Duration `json:"slip_ns"`    // marked minus called

	Cup    Verdict `json:"cup"`    // of the drift
	Person Verdict `json:"person"` // of the slip of a beat that is the person's
	Bed    Verdict `json:"bed"`    // of the slip of a beat that is the bed's

	// StartUnmarked says that the cue which ends here has no marked start, so
	// that the slip holds slow work and a late start together.
	StartUnmarked bool `json:"start_unmarked"`
	// BehindBed says that what the bed did may be in a slip of the person's:
	// a bed's beat that stands before was not marked, or was not done yet when
	// this beat was called. Where such a slip is off, nobody is judged by it.
	BehindBed bool    `json:"behind_bed"`
	Weight    *Weight `json:"weight"` // nil where nobody weighed
}

// Weight is what the scale read when a beat was marked, against the plan.
type Weight struct {
	Read      brew.Mass `json:"read_mg"`
	Target    brew.Mass `json:"target_mg"` // if HasTarget
	Off       brew.Mass `json:"off_mg"`    // read minus target, if HasTarget; + is too much
	HasTarget bool      `json:"has_target"`
}

// IsMarked reports whether the row has a mark, and so a drift and a slip.
func (r Row) IsMarked() bool { return r.Status == brew.Marked }

// Own returns the verdict on the slip, whoever owns it.
func (r Row) Own() Verdict {
	if r.Owner == brew.Bed {
		return r.Bed
	}
	return r.Person
}

// rowOf returns the row of the plan's beat n. The lane has got as far as the
// moment end of its clock; behind is of behindBed.
func rowOf(lane brew.Lane, n int, end time.Duration, behind []bool) Row {
	plan, state := lane.Plan(), lane.Beat(n)
	beat := plan.Beats[n]
	cue := plan.Cues[beat.Cue]
	r := Row{
		Beat: n, Key: beat.Key, Name: beat.Name, Cue: beat.Cue, Edge: beat.Edge, Step: cue.Name,
		Action: cue.Action, Length: cue.Length(), Owner: beat.Owner, Window: beat.Window, Status: state.Status,
		Written: beat.Due, Called: state.Called, Carried: state.Called - beat.Due,
	}
	r.Reached = r.IsMarked() || lane.Started() && r.Status != brew.Passed && r.Called <= end
	if r.IsMarked() {
		r.BehindBed = behind != nil && behind[n]
		r.judge(state)
		r.StartUnmarked = startUnmarked(lane, beat)
		r.Weight = weigh(plan, beat, state.Weight)
	}
	return r
}

// judge fills in what follows from the mark.
func (r *Row) judge(s brew.BeatState) {
	r.Marked, r.Raw = s.Marked, s.Raw
	r.Drift, r.Slip = r.Marked-r.Written, r.Marked-r.Called
	r.Cup = Judge(r.Drift, r.Window)
	switch own := Judge(r.Slip, r.Window); {
	case r.Owner == brew.Bed:
		r.Bed = own
	case !r.BehindBed || own == OnTime:
		r.Person = own
	}
}

// IsUntold reports whether the slip is off and is the hand's or the bed's, and
// nobody can tell which.
func (r Row) IsUntold() bool { return r.IsMarked() && r.Own() == NoVerdict }

// startUnmarked reports whether the beat ends a cue whose start nobody marked.
func startUnmarked(lane brew.Lane, b brew.Beat) bool {
	for _, p := range []*brew.Point{&b.Point, b.Also} {
		if p != nil && p.Edge == brew.EndEdge {
			return !startKnown(lane, p.Cue)
		}
	}
	return false
}

// startKnown reports whether a mark says when the cue began: its own, or that
// of the beat it shares with the cue before, unless it was held up after that
// one. The brew's own start is the mark of the first cue.
func startKnown(lane brew.Lane, cue int) bool {
	if cue == 0 && lane.Started() && lane.From() == 0 {
		return true
	}
	begin, _ := lane.Span(cue)
	s := lane.Beat(lane.Plan().Cues[cue].StartBeat)
	return s.Status == brew.Marked && s.Marked == begin
}

// weigh compares a reading with what the plan says of the beat.
func weigh(p *brew.Plan, b brew.Beat, read *brew.Mass) *Weight {
	if read == nil {
		return nil
	}
	w, c := Weight{Read: *read}, p.Cues[b.Cue]
	w.Target, w.HasTarget = c.Scale, c.OnScale
	if b.Edge == brew.StartEdge {
		w.Target, w.HasTarget = c.From, c.FromOn
	}
	if w.HasTarget {
		w.Off = w.Read - w.Target
	}
	return &w
}

// MarshalJSON writes the row with null for what only a mark would tell, and
// the window's edges as early_ns and late_ns.
func (r Row) MarshalJSON() ([]byte, error) {
	type fields Row
	out := struct {
		fields
		Early  time.Duration  `json:"early_ns"`
		Late   time.Duration  `json:"late_ns"`
		Marked *time.Duration `json:"marked_ns"`
		Raw    *time.Duration `json:"raw_ns"`
		Drift  *time.Duration `json:"drift_ns"`
		Slip   *time.Duration `json:"slip_ns"`
	}{fields: fields(r), Early: r.Window.Early, Late: r.Window.Late}
	if r.IsMarked() {
		out.Marked, out.Raw, out.Drift, out.Slip = &r.Marked, &r.Raw, &r.Drift, &r.Slip
	}
	return json.Marshal(out)
}
