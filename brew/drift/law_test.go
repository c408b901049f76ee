package drift_test

import (
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"time"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/brew/drift"
)

// What holds of the debrief of any brew.

func rowsFollowThePlan(t *rapid.T, plan *brew.Plan, d drift.Debrief) {
	var asked, rows []int
	for n, b := range plan.Beats {
		if b.Asked {
			asked = append(asked, n)
		}
	}
	for _, r := range d.Rows {
		rows = append(rows, r.Beat)
	}
	if !slices.Equal(asked, rows) {
		t.Fatalf("rows of beats %v, want those that are asked, %v", rows, asked)
	}
}

func rowIsOfItsBeat(t *rapid.T, lane brew.Lane, r drift.Row, ending brew.Ending) {
	beat, state := lane.Plan().Beats[r.Beat], lane.Beat(r.Beat)
	if ending == drift.CutOff && state.Status == brew.Waiting {
		state.Status = brew.Unmarked
	}
	if r.Status != state.Status || r.Written != beat.Due || r.Called != state.Called {
		t.Fatalf("row %+v of beat %+v in state %+v", r, beat, state)
	}
	if how, at, _ := lane.Ending(); how != brew.Running && r.Status == brew.Unmarked && r.Reached != (r.Called <= at) {
		t.Fatalf("ended at %v, and reached or not: %+v", at, r)
	}
}

func rowAddsUp(t *rapid.T, lane brew.Lane, r drift.Row) {
	beat, state := lane.Plan().Beats[r.Beat], lane.Beat(r.Beat)
	if r.Carried != r.Called-r.Written {
		t.Fatalf("carried is not what was called late: %+v", r)
	}
	if state.Status != brew.Marked {
		if r.Marked != 0 || r.Raw != 0 || r.Drift != 0 || r.Slip != 0 || r.Cup != "" || r.Person != "" || r.Bed != "" || r.Weight != nil || r.StartUnmarked {
			t.Fatalf("a judgement without a mark: %+v", r)
		}
		return
	}
	if r.Drift != r.Carried+r.Slip || r.Drift != r.Marked-r.Written || r.Marked != state.Marked || r.Raw != state.Raw || !r.Reached {
		t.Fatalf("times do not add up: %+v", r)
	}
	if (r.Person == "") != (beat.Owner == brew.Bed || r.IsUntold()) || (r.Bed == "") != (beat.Owner == brew.Person) || r.Cup == "" {
		t.Fatalf("the wrong one is judged: %+v", r)
	}
	if r.IsUntold() != (r.BehindBed && drift.Judge(r.Slip, r.Window) != drift.OnTime) || r.BehindBed && beat.Owner == brew.Bed {
		t.Fatalf("told or not: %+v", r)
	}
	if brew.Signed(r.Drift) == "0.0 s" && r.Cup != drift.OnTime || brew.Signed(r.Slip) == "0.0 s" && r.Own() != drift.OnTime {
		t.Fatalf("shown as 0.0 s and not on time: %+v", r)
	}
	if w := r.Word(); w.Figure != brew.Signed(r.Drift) || !strings.HasPrefix(w.Says, string(r.Cup)) {
		t.Fatalf("word %q of %+v", w, r)
	}
}

func latenessAddsUp(t *rapid.T, d drift.Debrief) {
	var person, bed, untold, total time.Duration
	last := -1
	for i, r := range d.Rows {
		switch {
		case r.BehindBed:
			untold += r.Slip
		case r.Owner == brew.Person:
			person += r.Slip
		default:
			bed += r.Slip
		}
		if r.IsMarked() {
			total, last = r.Drift, i
		}
		if made := slices.Contains(d.Lateness.Made, i); made != r.Own().Off() {
			t.Fatalf("row %+v made lateness: %t", r, made)
		}
	}
	l := d.Lateness
	if l.Person != person || l.Bed != bed || l.Untold != untold || l.Total != total || l.Last != last || l.Total != l.Person+l.Bed+l.Untold+l.Between {
		t.Fatalf("lateness %+v, want person %v, bed %v, total %v, last %d", l, person, bed, total, last)
	}
}

func lengthsFollowTheMarks(t *rapid.T, lane brew.Lane, d drift.Debrief) {
	if !slices.IsSortedFunc(d.Lengths, func(a, b drift.Length) int { return a.Cue - b.Cue }) {
		t.Fatalf("lengths out of order: %+v", d.Lengths)
	}
	for _, l := range d.Lengths {
		cue := lane.Plan().Cues[l.Cue]
		if l.Drift != l.Took-l.Written || l.Took < 0 || l.Written != cue.Length() || lane.Beat(cue.EndBeat).Status != brew.Marked || l.Measured == (l.Verdict == "") {
			t.Fatalf("length %+v of cue %+v", l, cue)
		}
		for _, r := range d.Rows {
			if r.Beat == cue.EndBeat && r.StartUnmarked == l.Measured {
				t.Fatalf("length %+v and row %+v disagree about the start", l, r)
			}
		}
	}
}

func countsAddUp(t *rapid.T, lane brew.Lane, d drift.Debrief) {
	passed, events := 0, map[brew.EventKind]int{}
	for _, r := range d.Rows {
		if r.Status == brew.Passed {
			passed++
		}
	}
	for _, e := range lane.Events() {
		events[e.Kind]++
	}
	c := d.Counts
	if c.Marked+c.Unmarked+c.Skipped+c.NotReached+c.Pending+passed != len(d.Rows) {
		t.Fatalf("counts %+v and %d passed of %d rows", c, passed, len(d.Rows))
	}
	if c.Undone != events[brew.EventUndo] || c.Moves != events[brew.EventMoved] || c.Marked+c.Strays+c.Skips+c.Undone != events[brew.EventMark]+events[brew.EventSkip] {
		t.Fatalf("counts %+v of events %v", c, events)
	}
}

var zeroOff = regexp.MustCompile(`(^| )-?0\.0 s (late|early|longer|less)`)

func sentenceIsFair(t *rapid.T, d drift.Debrief) {
	s := d.Sentence
	if !strings.HasSuffix(s.Text, ".") || strings.Contains(s.Text, ". ") || zeroOff.MatchString(s.Text) || len(s.Text) > 240 || strings.Contains(s.Text, "  ") {
		t.Fatalf("not one sentence: %q", s.Text)
	}
	var hand, bed, cup, untold bool
	for _, r := range d.Rows {
		hand, bed, cup, untold = hand || r.Person.Off(), bed || r.Bed.Off(), cup || r.Cup.Off(), untold || r.IsUntold()
	}
	want := map[drift.Says]bool{
		drift.SaysNothing: d.Lateness.Last < 0, drift.SaysHand: hand && !bed, drift.SaysBoth: hand && bed, drift.SaysBed: bed && !hand,
		drift.SaysOnTime: d.Lateness.Last >= 0 && !hand && !bed && !cup && !untold, drift.SaysUntold: untold && !hand && !bed,
	}
	inherited := cup && !hand && !bed && !untold
	if holds, judged := want[s.Says]; judged && !holds || !judged && !inherited {
		t.Fatalf("says %q: %q, though hand off %t, bed off %t, cup off %t", s.Says, s.Text, hand, bed, cup)
	}
	if (s.Row < 0) != (s.Says == drift.SaysNothing) {
		t.Fatalf("says %q of row %d", s.Says, s.Row)
	}
}

func encodes(t *rapid.T, d drift.Debrief) {
	text, err := json.Marshal(d)
	if err != nil {
		t.Fatal(err)
	}
	var back struct {
		Rows []struct {
			Drift *int64 `json:"drift_ns"`
			Late  int64  `json:"late_ns"`
		} `json:"rows"`
	}
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	for i, r := range d.Rows {
		if got := back.Rows[i]; (got.Drift != nil) != r.IsMarked() || got.Drift != nil && *got.Drift != int64(r.Drift) || got.Late != int64(r.Window.Late) {
			t.Fatalf("row %+v went out as %s", r, text)
		}
	}
}
