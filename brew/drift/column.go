package drift

import (
	"cmp"
	"encoding/json"
	"slices"
	"time"

	"barline/brew"
)

// What is what a column measures.
type What string

// Beats have drift and slip, lengths (of cues, and contact) a drift alone,
// weights are grams off the target.
const (
	Beats   What = "beat"
	Lengths What = "length"
	Weights What = "weight"
)

// Column is one thing that is measured in every brew of a recipe's version: a
// beat, a length or a weight.
type Column struct {
	What    What          `json:"what"`
	Version string        `json:"version"`
	Place   int           `json:"place"` // its order among those of its kind in the plan
	Key     string        `json:"key"`   // 'second pour, end', 'first press', 'contact time': the identity
	Name    string        `json:"name"`  // for people
	Step    string        `json:"step"`  // the cue's name
	Edge    brew.Edge     `json:"edge"`  // of a beat or a weight
	Action  brew.Action   `json:"action"`
	Length  time.Duration `json:"length_ns"` // of the cue as written
	Owner   brew.Owner    `json:"owner"`
	// Window is that of the beat, or of the beat that ends the length;
	// HasWindow is false for weights, and for contact, which one brew ends
	// by another beat than the next.
	Window    brew.Window `json:"-"`
	HasWindow bool        `json:"has_window"`
}

type columnID struct {
	what         What
	version, key string
}

// Column returns the number of a column in the record, and takes it in where
// it is new. A column is known by what it is of, its version and its key.
func (r *Record) Column(c Column) int {
	id := columnID{c.What, c.Version, c.Key}
	n, ok := r.known[id]
	if !ok {
		if r.known == nil {
			r.known = map[columnID]int{}
		}
		n = len(r.columns)
		r.columns, r.known[id] = append(r.columns, c), n
	}
	return n
}

// Joins reports whether the values of both columns may be looked at together
// though they are of two versions: the action, its length and the window are
// the same.
func (c Column) Joins(o Column) bool {
	return c.What == o.What && c.Key == o.Key && c.Edge == o.Edge && c.Action == o.Action && c.Length == o.Length &&
		c.Owner == o.Owner && c.Window == o.Window && c.HasWindow == o.HasWindow
}

// order sorts beats, lengths, weights, each as the plan does.
func (c Column) order(o Column) int {
	rank := map[What]int{Beats: 0, Lengths: 1, Weights: 2}
	return cmp.Or(cmp.Compare(rank[c.What], rank[o.What]), cmp.Compare(c.Place, o.Place), cmp.Compare(c.Key, o.Key))
}

// columnsOf returns the numbers of a version's columns in order.
func (r *Record) columnsOf(version string) []int {
	var out []int
	for n, c := range r.columns {
		if c.Version == version {
			out = append(out, n)
		}
	}
	slices.SortFunc(out, func(a, b int) int { return r.columns[a].order(r.columns[b]) })
	return out
}

// joined returns for each column of the record whether its values may be
// looked at together with those of column n.
func (r *Record) joined(n int) []bool {
	out := make([]bool, len(r.columns))
	for i, c := range r.columns {
		out[i] = c.Joins(r.columns[n])
	}
	return out
}

// MarshalJSON writes the window's edges as early_ns and late_ns; a column
// without a window has none.
func (c Column) MarshalJSON() ([]byte, error) {
	type fields Column
	out := struct {
		fields
		Early *time.Duration `json:"early_ns,omitempty"`
		Late  *time.Duration `json:"late_ns,omitempty"`
	}{fields: fields(c)}
	if c.HasWindow {
		out.Early, out.Late = &c.Window.Early, &c.Window.Late
	}
	return json.Marshal(out)
}
