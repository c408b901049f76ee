package drift_test

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
	"time"

	"barline/brew"
	"barline/brew/drift"
)

// invented is a bar whose brews are drawn from a seed: three persons, a cone
// of four asked beats. The second pour is pinned; the third hangs behind it,
// and the bed behind that, so that lateness is handed on.
type invented struct {
	brews   int
	persons []string
	// noise draws a value about 0 with standard deviation 1; nil for normal.
	noise func(*rand.Rand) float64
	// plant changes what would have been the slips, in seconds, of brew i,
	// in [0, brews), and may change its marks.
	plant   func(i int, b *played)
	version func(i int) string
	leave   func(i int) bool // out of the record, though drawn
}

// played is one brew before it is recorded.
type played struct {
	Start  time.Time
	Person string
	Slip   [4]float64
	Fate   [4]drift.Fate
	Stop   bool
}

const (
	bloom = iota
	second
	third
	bed
)

var beatKeys = [4]string{"bloom, end", "second pour, end", "third pour, end", "first drawdown, end"}

func beatColumn(version string, i int) drift.Column {
	c := drift.Column{
		What: drift.Beats, Version: version, Place: i, Key: beatKeys[i], Name: beatKeys[i], Edge: brew.EndEdge, Owner: brew.Person,
		Step: [4]string{"bloom", "second pour", "third pour", "drawdown"}[i], Action: brew.Pour, Length: sec(10),
		Window: brew.Window{Early: sec(3), Late: sec(3)}, HasWindow: true,
	}
	if i == bed {
		c.Owner, c.Action, c.Window = brew.Bed, brew.Drawdown, brew.Window{Early: sec(15), Late: sec(15)}
	}
	return c
}

// monday is the first day of the invented bar.
var monday = time.Date(2026, 1, 5, 8, 0, 0, 0, time.FixedZone("", 3600))

// record draws the bar's brews: some six a day.
func (v invented) record(seed uint64) *drift.Record {
	draw := rand.New(rand.NewPCG(seed, 99))
	r := &drift.Record{}
	for i := range v.brews {
		if b := v.brew(r, draw, i); v.leave == nil || !v.leave(i) {
			r.Add(b)
		}
	}
	return r
}

func (v invented) brew(r *drift.Record, draw *rand.Rand, i int) drift.Brew {
	noise := v.noise
	if noise == nil {
		noise = (*rand.Rand).NormFloat64
	}
	p := played{Start: monday.Add(time.Duration(i/6)*24*time.Hour + time.Duration(i%6)*90*time.Minute)}
	p.Person = v.persons[draw.IntN(len(v.persons))]
	for b := range p.Slip {
		p.Slip[b] = noise(draw)
	}
	p.Slip[bed] *= 4
	if v.plant != nil {
		v.plant(i, &p)
	}
	version := "1"
	if v.version != nil {
		version = v.version(i)
	}
	return p.brew(r, version, uint64(i))
}

// brew puts the marks into a record's terms.
func (p played) brew(r *drift.Record, version string, id uint64) drift.Brew {
	out := drift.Brew{Start: p.Start, Person: p.Person, Version: version, Stopped: p.Stop}
	binary.BigEndian.PutUint64(out.ID[:], id)
	late := 0.0 // of the beat before, which a pinned beat does not inherit
	for b, slip := range p.Slip {
		c := beatColumn(version, b)
		cell := drift.Cell{Column: r.Column(c), Fate: p.Fate[b]}
		if b == bloom || b == second {
			late = 0
		}
		if cell.Fate == drift.Marked {
			cell.Slip = time.Duration(math.Round(slip*1000)) * time.Millisecond
			cell.Drift = cell.Slip + time.Duration(math.Round(late*1000))*time.Millisecond
			cell.Cup, cell.Own = drift.Judge(cell.Drift, c.Window), drift.Judge(cell.Slip, c.Window)
			late = cell.Drift.Seconds()
		}
		out.Cells = append(out.Cells, cell)
	}
	return out
}

var crew = []string{"Mo", "Ada", "Jun"}

// skewed is a gamma of shape 4, as hands often are: seldom much too early,
// sometimes much too late.
func skewed(r *rand.Rand) float64 {
	return (r.ExpFloat64() + r.ExpFloat64() + r.ExpFloat64() + r.ExpFloat64() - 4) / 2
}

// heavy is Student's t with five degrees of freedom.
func heavy(r *rand.Rand) float64 {
	s := 0.0
	for range 5 {
		z := r.NormFloat64()
		s += z * z
	}
	return r.NormFloat64() / math.Sqrt(s/5) / math.Sqrt(5.0/3)
}
