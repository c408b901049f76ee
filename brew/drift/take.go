package drift

import (
	"time"

	"barline/brew"
)

// Take adds a brew by its debrief: its rows, its lengths, contact, and the
// weights where somebody weighed against a target. The plan is that of the
// brew. Whether a brew counts is for the caller to say, by Debrief.Excluded;
// one that was stopped or cut off may be taken, and is kept as Stopped.
func (r *Record) Take(id [16]byte, start time.Time, person string, plan *brew.Plan, d Debrief) {
	b := Brew{ID: id, Start: start, Person: person, Version: d.Version, Stopped: d.Ending != brew.Finished}
	for _, row := range d.Rows {
		b.Cells = r.rowCells(b.Cells, d.Version, row)
	}
	b.Cells = r.lengthCells(b.Cells, d.Version, plan, d.Lengths, d.Contact)
	r.Add(b)
}

// Weighed is what the scale read at beats, by their keys, where that is known
// from elsewhere than the marks.
type Weighed map[string]brew.Mass

// TakeLane is Take for a lane that has ended, or never will, without what a
// debrief is for beside the figures. Weights that were weighed otherwise stand
// in for those of the marks.
func (r *Record) TakeLane(id [16]byte, start time.Time, person string, lane brew.Lane, weighed Weighed) {
	plan, end, behind := lane.Plan(), reached(lane), behindBed(lane)
	how, _, _ := lane.Ending()
	b := Brew{ID: id, Start: start, Person: person, Version: plan.Version, Stopped: how != brew.Finished}
	d := Debrief{Ending: how}
	if how == brew.Running {
		d.Ending = CutOff
	}
	for n, beat := range plan.Beats {
		if !beat.Asked {
			continue
		}
		row := d.settled(rowOf(lane, n, end, behind))
		if m, known := weighed[row.Key]; known {
			row.Weight = weigh(plan, beat, &m)
		}
		b.Cells = r.rowCells(b.Cells, plan.Version, row)
	}
	b.Cells = r.lengthCells(b.Cells, plan.Version, plan, lengthsOf(lane), contactOf(lane, end))
	r.Add(b)
}

// rowCells appends a beat's figures, and its weight where there is one.
func (r *Record) rowCells(to []Cell, version string, row Row) []Cell {
	c := columnOf(version, row)
	to = append(to, Cell{
		Column: r.Column(c), Fate: row.fateOf(), Drift: row.Drift, Slip: row.Slip,
		Cup: row.Cup, Own: row.Own(), StartUnmarked: row.StartUnmarked, BehindBed: row.BehindBed,
	})
	if w := row.Weight; w != nil && w.HasTarget {
		c.What, c.Window, c.HasWindow = Weights, brew.Window{}, false
		to = append(to, Cell{Column: r.Column(c), Off: w.Off})
	}
	return to
}

func (r *Record) lengthCells(to []Cell, version string, plan *brew.Plan, lengths []Length, contact *Length) []Cell {
	if contact != nil {
		lengths = append(lengths[:len(lengths):len(lengths)], *contact)
	}
	for _, l := range lengths {
		if l.Measured {
			to = append(to, Cell{Column: r.Column(lengthColumn(version, plan, l)), Drift: l.Drift, Cup: l.Verdict})
		}
	}
	return to
}

func columnOf(version string, r Row) Column {
	return Column{
		What: Beats, Version: version, Place: r.Beat, Key: r.Key, Name: r.Name, Step: r.Step, Edge: r.Edge,
		Action: r.Action, Length: r.Length, Owner: r.Owner, Window: r.Window, HasWindow: true,
	}
}

func lengthColumn(version string, plan *brew.Plan, l Length) Column {
	c := Column{
		What: Lengths, Version: version, Place: l.Cue, Key: l.Key, Name: l.Name, Step: l.Name,
		Action: l.Action, Length: l.Written, Owner: l.Owner,
	}
	if l.Cue < 0 { // contact, behind all cues; the owner of its end may differ too
		c.Place, c.Owner = len(plan.Cues), ""
		return c
	}
	c.Window, c.HasWindow = plan.Beats[plan.Cues[l.Cue].EndBeat].Window, true
	return c
}

// fateOf returns what statistics count the row as. A beat of a brew that goes
// on is not reached yet.
func (r Row) fateOf() Fate {
	switch {
	case r.IsMarked():
		return Marked
	case r.Status == brew.Skipped:
		return Skipped
	case r.Status == brew.Unmarked && r.Reached:
		return Unmarked
	}
	return NotReached
}
