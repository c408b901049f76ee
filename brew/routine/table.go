package routine

import (
	"math"
	"slices"
	"time"

	"barline/brew/drift/stat"
)

// What statistics look at and need; common practice, no source.
const (
	Latest    = 10                     // takes that a median, a spread and a trend look at
	LeastTook = 3                      // takes that a median and a spread need
	LeastLine = 5                      // takes that a trend needs
	Sure      = 0.05                   // a trend is told where chance gives one as strong less often
	LeastLost = 500 * time.Millisecond // of slip, from which on time was lost
	Alikes    = 5                      // takes that are asked how alike they are
)

// Pool says which takes are looked at together.
type Pool struct {
	Version string // of the plan
	Dry     bool
	From    int // sections, both included
	To      int
}

// PoolOf returns the pool that a take belongs to. Takes without water, of
// another plan or of other sections are never looked at together.
func PoolOf(r Result) Pool {
	return Pool{r.Plan.Version, r.Dry, r.Options.From, r.Options.To}
}

// In returns the takes of a pool that were finished at speed 1, in the order
// in which they began. Those that were broken off stay out: of what they left
// out nothing is known.
func (p Pool) In(all []Result) []Result {
	var out []Result
	for _, r := range all {
		if PoolOf(r) == p && r.Ending == Finished && r.Speed == 1 {
			out = append(out, r)
		}
	}
	slices.SortStableFunc(out, func(a, b Result) int { return a.Start.Compare(b.Start) })
	return out
}

// Row is a section, or the whole, over takes. A figure that too few takes
// support is not known.
type Row struct {
	Name    string
	Written time.Duration
	Took    []time.Duration // of each take, in order
	Best    time.Duration   // the nearest to what is written, of these
	Median  Figure          // of the latest
	Spread  Figure          // of the latest: how wide the middle half is
	Trend   Figure          // a take, over the latest
	Steady  bool            // that trend is no more than chance gives
	Lost    int             // takes in which time was lost here, by slip
	Slip    Figure          // the median slip of the takes
}

// Figure is a length of time that may not be known.
type Figure struct {
	Value time.Duration
	Known bool
}

// Table is what takes of one pool tell, in the order in which they began.
type Table struct {
	Takes    []Result
	Sections []Row
	Whole    Row
	Losing   []int // sections where time is lost on most takes, the one that costs most first
	Alike    Alike
}

// TableOf returns the table of takes that belong together; see Pool.In.
func TableOf(takes []Result) Table {
	t := Table{Takes: takes}
	if len(takes) == 0 {
		return t
	}
	for i, s := range takes[0].Sections {
		if i < takes[0].Options.From || i > takes[0].Options.To {
			continue
		}
		t.Sections = append(t.Sections, rowOf(s.Name, s.Written, takes, func(r Result) (time.Duration, Sum) { return r.Sections[i].Took, r.Sections[i].Slip }))
	}
	whole := takes[0].Plan.Sections[takes[0].Options.To].End - takes[0].Began
	t.Whole = rowOf("whole", whole, takes, func(r Result) (time.Duration, Sum) {
		return r.Length(), Sum{r.Talk.Marks + r.Hands.Marks, r.Talk.Slip + r.Hands.Slip}
	})
	t.Losing = losing(t.Sections, len(takes))
	t.Alike = AlikeOf(takes)
	return t
}

func rowOf(name string, written time.Duration, takes []Result, of func(Result) (time.Duration, Sum)) Row {
	row := Row{Name: name, Written: written}
	var slips []float64
	for i, r := range takes {
		took, slip := of(r)
		row.Took = append(row.Took, took)
		if i == 0 || (took-written).Abs() < (row.Best-written).Abs() {
			row.Best = took
		}
		if slip.Marks > 0 {
			slips = append(slips, float64(slip.Slip))
			if slip.Slip >= LeastLost {
				row.Lost++
			}
		}
	}
	row.latest()
	if len(slips) > 0 {
		row.Slip = Figure{rounded(stat.Median(slips)), true}
	}
	return row
}

// latest fills in what the latest takes tell.
func (r *Row) latest() {
	var ys, xs []float64
	for i, took := range r.Took[max(0, len(r.Took)-Latest):] {
		xs, ys = append(xs, float64(i)), append(ys, float64(took))
	}
	if len(ys) >= LeastTook {
		r.Median = Figure{rounded(stat.Median(slices.Clone(ys))), true}
		r.Spread = Figure{rounded(stat.Quantile(slices.Clone(ys), 0.75) - stat.Quantile(slices.Clone(ys), 0.25)), true}
	}
	if len(ys) < LeastLine {
		return
	}
	slope := stat.TheilSen(xs, ys, 1-Sure).Slope
	r.Trend = Figure{rounded(slope), !math.IsNaN(slope)}
	r.Steady = !(stat.Kendall(xs, ys).P < Sure) // of values that are all the same there is none
}

func rounded(x float64) time.Duration { return time.Duration(math.Round(x)) }

// losing returns the sections in which time is lost on more than half of the
// takes, that of the largest median slip first.
func losing(rows []Row, takes int) (out []int) {
	for i, r := range rows {
		if takes >= LeastTook && 2*r.Lost > takes {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return int(rows[b].Slip.Value - rows[a].Slip.Value) })
	return out
}

// Point is one moment of a take's line: how far it had drifted when something
// was due.
type Point struct {
	Written time.Duration
	Drift   time.Duration
	Voice   Voice
}

// Line returns the drift that built up through a take, mark by mark.
func (r Result) Line() (out []Point) {
	for _, m := range r.Marks {
		if m.Known {
			out = append(out, Point{m.Written, m.Drift(), m.Voice})
		}
	}
	return out
}
