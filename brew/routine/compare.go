package routine

import (
	"slices"
	"time"

	"barline/brew/drift/stat"
)

// Pair is one thing that can be marked in two takes.
type Pair struct {
	Key     string
	Name    string
	Voice   Voice
	Section string
	Written [2]time.Duration
	Drift   [2]Figure
	Slip    [2]Figure
}

// Apart returns by how much the second take's drift is larger; false where one
// of them is not known.
func (p Pair) Apart() (time.Duration, bool) {
	return p.Drift[1].Value - p.Drift[0].Value, p.Drift[0].Known && p.Drift[1].Known
}

// Compare returns two takes beat by beat, in the order of the first. What only
// one of them has stands where it is written there, the second's at the end.
// They may be of different plans: what has the same key is taken to be the
// same, and drifts count from each take's own plan.
func Compare(a, b Result) (out []Pair) {
	at := map[string]int{}
	for side, r := range []Result{a, b} {
		for _, m := range r.Marks {
			n, there := at[m.Key]
			if !there {
				n = len(out)
				at[m.Key] = n
				out = append(out, Pair{Key: m.Key, Name: m.Name, Voice: m.Voice, Section: r.Sections[m.Section].Name})
			}
			out[n].Written[side] = m.Written
			if m.Known {
				out[n].Drift[side], out[n].Slip[side] = Figure{m.Drift(), true}, Figure{m.Slip(), true}
			}
		}
	}
	return out
}

// Alike says how alike the latest takes are, by what was marked in all of
// them.
type Alike struct {
	Takes int           // that were looked at
	Beats int           // marked in all of them
	Range time.Duration // the median, over these, from the earliest mark to the latest
	Worst string        // the beat whose marks lie widest apart
	Wide  time.Duration // and how wide
}

// AlikeOf returns how alike the last takes are, Alikes at the most; nothing is
// known of fewer than two.
func AlikeOf(takes []Result) Alike {
	takes = takes[max(0, len(takes)-Alikes):]
	out := Alike{Takes: len(takes)}
	if len(takes) < 2 {
		return out
	}
	var ranges []float64
	for n, m := range takes[0].Marks {
		low, high, all := m.Marked, m.Marked, m.Known
		for _, r := range takes[1:] {
			if n >= len(r.Marks) || r.Marks[n].Key != m.Key || !r.Marks[n].Known {
				all = false
				break
			}
			low, high = min(low, r.Marks[n].Marked), max(high, r.Marks[n].Marked)
		}
		if !all {
			continue
		}
		ranges = append(ranges, float64(high-low))
		if high-low > out.Wide || out.Worst == "" {
			out.Worst, out.Wide = m.Name, high-low
		}
	}
	if out.Beats = len(ranges); out.Beats > 0 {
		out.Range = rounded(stat.Median(slices.Clone(ranges)))
	}
	return out
}
