package routine

import (
	"time"

	"barline/brew"
)

// Minute is how long before the limit the call of one minute left comes.
const Minute = time.Minute

// Look is what a run shows at one moment.
type Look struct {
	At      time.Duration // on the routine's clock
	Left    time.Duration // of the limit; below zero where it is over
	Minute  bool          // no more than a minute of it is left
	Section int           // that is on; the run's first before the start
	Ends    time.Duration // when the section is written to end

	Line     int           // that is being said, or was last; -1 for none yet
	LineLeft time.Duration // until it is over; 0 where it is
	LineDone float64       // how much of its length has passed, 0 to 1
	NextLine int           // -1 for none
	NextIn   time.Duration // until it is called; of a line that waits for a brew that has not started, at the least
	Waits    bool          // the next line waits for a brew that has not started

	Next Next // what is called next of all but lines

	Pending  []Pending // what was called and waits, in order of the calls
	Standing Standing

	Changes   time.Duration // when the picture changes next by itself, if HasChange; what is pending grows besides
	HasChange bool
}

// Next is the next cue to be called: of a lane, the start of a brew, or the
// call of time.
type Next struct {
	Lane  int           // of a cup, the hands or the calls; -1 for none
	Cue   int           // -1 for the start of a brew and a call
	In    time.Duration // until it is called
	What  string        // in words: a cue's prompt
	Whose string        // the cup's id; "" for none
}

// Pending is a beat, the start of a brew, a line or a call that was called and
// waits for its mark.
type Pending struct {
	Lane int
	Beat int           // of its lane's plan; -1 for anything else
	For  time.Duration // since it was called
}

// Standing is how far a run is ahead or behind, in words too.
type Standing struct {
	Known   bool          // whether there is anything to judge by
	By      time.Duration // + is behind
	Waiting bool          // it is how long a beat has been pending
}

// Word returns ahead, behind or on time, as the figure that is shown has it,
// to a tenth of a second; 'no mark yet' where nothing is known.
func (s Standing) Word() string {
	switch tenths := s.By.Round(100 * time.Millisecond); {
	case !s.Known:
		return "no mark yet"
	case tenths > 0:
		return "behind"
	case tenths < 0:
		return "ahead"
	}
	return "on time"
}

// String returns the standing with its sign and its word: '+2.4 s behind'.
func (s Standing) String() string {
	if !s.Known || s.Word() == "on time" {
		return s.Word()
	}
	return brew.Signed(s.By) + " " + s.Word()
}

// reached returns the run as it stands at a moment from its latest event on.
func (r Run) reached(t time.Duration) Run {
	if r.started && r.ending == Running {
		f := r.fold.clone()
		f.reach(r.plan, r.opt, t)
		r.fold = f
	}
	return r
}

// LanesAt returns Lanes as they stand at a moment from the latest event on: a
// serving is put off as time goes by.
func (r Run) LanesAt(t time.Duration) brew.Timeline { return r.reached(t).lanes }

// At returns what the run shows at a moment from its latest event on. What
// each lane shows then is asked of LanesAt.
func (r Run) At(t time.Duration) Look {
	r = r.reached(t)
	k := Look{At: t, Left: r.plan.Limit - t, Line: -1, NextLine: -1, Next: Next{Lane: -1, Cue: -1}, Section: r.opt.From}
	k.Minute = k.Left <= Minute
	if r.ending != Running {
		k.Section = r.sectionOn()
		k.Ends = r.plan.Sections[k.Section].End
		k.Standing = r.standingAt(nil)
		return k
	}
	r.talkAt(&k)
	k.Ends = r.plan.Sections[k.Section].End
	for _, w := range r.Wanted(t) {
		r.waits(&k, w)
	}
	r.nextAt(&k)
	k.Standing = r.standingAt(k.Pending)
	k.change(r.plan.Limit - Minute)
	k.change(r.plan.Limit)
	return k
}

// talkAt fills in what is said.
func (r Run) talkAt(k *Look) {
	first, _ := r.opt.lines(r.plan)
	if n := len(r.lines) - 1; n >= 0 {
		k.Line = first + n
		length := r.plan.Lines[k.Line].Length
		end := r.lines[n].begun + length
		k.LineLeft = max(end-k.At, 0)
		k.LineDone = min(float64(k.At-r.lines[n].begun)/float64(length), 1)
		k.Section = r.plan.Lines[k.Line].Section
		k.change(end)
	}
	line, at, can := r.nextLine(r.plan, r.opt, k.At)
	if line < 0 {
		return
	}
	k.NextLine, k.NextIn, k.Waits = line, max(at-k.At, 0), !can
	if can {
		k.change(at)
	}
	if r.opt.Manual && r.started && can && at <= k.At {
		k.Pending = append(k.Pending, Pending{r.plan.TalkLane(), -1, k.At - at})
	}
}

// sectionOn returns the section of the last line that has begun.
func (r Run) sectionOn() int {
	if n := len(r.lines) - 1; n >= 0 {
		first, _ := r.opt.lines(r.plan)
		return r.plan.Lines[first+n].Section
	}
	return r.opt.From
}

// waits puts what the run waits for among what is pending, or lets the picture
// change when it is called.
func (r Run) waits(k *Look, w Wanted) {
	if w.Called > k.At {
		k.change(w.Called)
		return
	}
	at := len(k.Pending)
	for at > 0 && k.Pending[at-1].For < k.At-w.Called {
		at--
	}
	k.Pending = append(k.Pending[:at], append([]Pending{{w.Lane, w.Beat, k.At - w.Called}}, k.Pending[at:]...)...)
}

// nextAt finds the cue that is called next: before the start the first call.
func (r Run) nextAt(k *Look) {
	calls := r.plan.CallsLane()
	if !r.started {
		k.Next = Next{calls, -1, 0, "Call time", ""}
		return
	}
	if due := r.callDue(k.At); due > k.At {
		k.soonest(Next{calls, -1, due - k.At, "Call time", ""})
	}
	for i, c := range r.plan.Cups {
		if lane := r.lanes.Lane(i); lane.Started() {
			m := lane.At(k.At - lane.Zero())
			if m.HasChange {
				k.change(lane.Zero() + m.Changes)
			}
			if m.Next >= 0 {
				k.soonest(Next{i, m.Next, m.NextIn, c.Plan.Cues[m.Next].Prompt, c.ID})
			}
		} else if c.Zero > k.At && r.runs(c.Zero) {
			k.soonest(Next{i, -1, c.Zero - k.At, c.Plan.Cues[0].Prompt, c.ID})
		}
	}
	hands := r.lanes.Lane(r.plan.HandsLane())
	if m := hands.At(k.At - hands.Zero()); m.Next >= 0 && r.runs(r.plan.Hands.Cues[m.Next].Start) {
		k.soonest(Next{r.plan.HandsLane(), m.Next, m.NextIn, r.plan.Hands.Cues[m.Next].Prompt, ""})
	}
	if m := hands.At(k.At - hands.Zero()); m.HasChange {
		k.change(hands.Zero() + m.Changes)
	}
}

// soonest keeps what is called sooner; of two of one moment the first.
func (k *Look) soonest(n Next) {
	if k.Next.Lane < 0 || n.In < k.Next.In {
		k.Next = n
	}
}

func (k *Look) change(at time.Duration) {
	if at > k.At && (!k.HasChange || at < k.Changes) {
		k.Changes, k.HasChange = at, true
	}
}

// standingAt returns the larger of the last drift and how long what was called
// first has been pending.
func (r Run) standingAt(pending []Pending) Standing {
	s := Standing{}
	s.By, s.Known = r.lastDrift()
	if len(pending) > 0 && (!s.Known || pending[0].For > s.By) {
		s = Standing{Known: true, By: pending[0].For, Waiting: true}
	}
	return s
}

// lastDrift returns by how much the latest mark came after its written time.
func (r Run) lastDrift() (drift time.Duration, known bool) {
	var latest time.Duration
	mark := func(at, written time.Duration) {
		if !known || at >= latest {
			latest, drift, known = at, at-written, true
		}
	}
	for i, c := range r.plan.Cups {
		lane := r.lanes.Lane(i)
		if lane.Started() && lane.From() == 0 {
			mark(lane.Zero(), c.Zero)
		}
		if n := lane.Last(); n >= 0 {
			mark(lane.Zero()+lane.Beat(n).Marked, r.written(r.plan, i, n))
		}
	}
	hands := r.plan.HandsLane()
	if lane := r.lanes.Lane(hands); lane.Last() >= 0 {
		mark(lane.Zero()+lane.Beat(lane.Last()).Marked, r.written(r.plan, hands, lane.Last()))
	}
	first, _ := r.opt.lines(r.plan)
	for i := len(r.lines) - 1; i >= 0; i-- {
		if l := r.lines[i]; l.marked {
			mark(l.begun, r.plan.Lines[first+i].Start)
			break
		}
	}
	return drift, known
}
