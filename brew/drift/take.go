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
		c := columnOf(d.Version, row)
		b.Cells = append(b.Cells, Cell{
			Column: r.Column(c), Fate: row.fateOf(), Drift: row.Drift, Slip: row.Slip,
			Cup: row.Cup, Own: row.Own(), StartUnmarked: row.StartUnmarked,
		})
		if w := row.Weight; w != nil && w.HasTarget {
			c.What, c.Window, c.HasWindow = Weights, brew.Window{}, false
			b.Cells = append(b.Cells, Cell{Column: r.Column(c), Off: w.Off})
		}
	}
	lengths := d.Lengths
	if d.Contact != nil {
		lengths = append(lengths[:len(lengths):len(lengths)], *d.Contact)
	}
	for _, l := range lengths {
		if l.Measured {
			b.Cells = append(b.Cells, Cell{Column: r.Column(lengthColumn(d.Version, plan, l)), Drift: l.Drift, Cup: l.Verdict})
		}
	}
	r.Add(b)
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
