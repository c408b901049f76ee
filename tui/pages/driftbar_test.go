package pages_test

import (
	"encoding/binary"
	"math/rand/v2"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/tui/pages"
)

// An invented bar whose brews of one recipe are drawn from a seed. Three
// persons brew a cone, six brews a day. Ada and Ben mostly end the second pour
// late and hand that on to the third; Ben's blooms get ever closer; Cleo may
// brew alone; in the fourth week the bed is slow; the last third is of a new
// version, with which the second pour is a little less late.

const sec = time.Second

var (
	crew = []string{"Ada", "Ben", "Cleo"}
	// monday is the first day of the bar, by its own clock.
	monday = time.Date(2026, 1, 5, 8, 0, 0, 0, time.FixedZone("", 3600))
)

// coneColumns are what is measured of a version: four beats, two lengths, a
// weight. The window of the press of the server reaches to one side only.
func coneColumns(version string) []drift.Column {
	three := brew.Window{Early: 3 * sec, Late: 3 * sec}
	beat := func(place int, step, name string, w brew.Window) drift.Column {
		return drift.Column{
			What: drift.Beats, Version: version, Place: place, Key: name, Name: name, Step: step, Edge: brew.EndEdge,
			Action: brew.Pour, Length: 10 * sec, Owner: brew.Person, Window: w, HasWindow: true,
		}
	}
	out := []drift.Column{
		beat(0, "bloom", "bloom, end", three),
		beat(1, "second pour", "second pour, end", three),
		beat(2, "third pour", "third pour, end", brew.Window{Early: 2 * sec, Late: 5 * sec}),
		beat(3, "drawdown", "drawdown, end", brew.Window{Early: 15 * sec, Late: 15 * sec}),
	}
	out[3].Owner, out[3].Action, out[3].Length = brew.Bed, brew.Drawdown, 45*sec
	pour := out[1]
	pour.What, pour.Key, pour.Name = drift.Lengths, "second pour", "second pour"
	contact := drift.Column{What: drift.Lengths, Version: version, Place: 9, Key: "contact", Name: "contact", Step: "contact", Length: 170 * sec}
	weight := beat(1, "second pour", "second pour, end", brew.Window{})
	weight.What, weight.HasWindow = drift.Weights, false
	return append(out, pour, contact, weight)
}

// bar is what is drawn.
type bar struct {
	brews   int
	quiet   bool // nothing is planted
	unasked bool // every fourth bloom is unmarked
	unnamed bool // of every fifth brew nobody said who brewed
}

func (b bar) record(seed uint64) *drift.Record {
	draw, r := rand.New(rand.NewPCG(seed, 7)), &drift.Record{}
	for i := range b.brews {
		r.Add(b.brew(r, draw, i))
	}
	return r
}

func (b bar) brew(r *drift.Record, draw *rand.Rand, i int) drift.Brew {
	version := "1f3a9c20"
	if !b.quiet && i >= b.brews*2/3 {
		version = "7be04d11"
	}
	person := draw.IntN(3)
	slip := [4]float64{draw.NormFloat64(), draw.NormFloat64(), draw.NormFloat64(), 4 * draw.NormFloat64()}
	if !b.quiet {
		b.plant(i, person, &slip)
	}
	name := crew[person]
	if b.unnamed && i%5 == 0 {
		name = ""
	}
	out := drift.Brew{Start: begun(i), Person: name, Version: version, Stopped: i%50 == 49}
	binary.BigEndian.PutUint64(out.ID[:], uint64(i))
	columns := coneColumns(version)
	late := 0.0
	for n, s := range slip {
		cell := drift.Cell{Column: r.Column(columns[n])}
		if b.unasked && n == 0 && i%4 == 0 {
			cell.Fate = drift.Unmarked
			out.Cells = append(out.Cells, cell)
			continue
		}
		if n < 2 {
			late = 0 // both are pinned
		}
		late += s
		w := columns[n].Window
		cell.Slip, cell.Drift = millis(s), millis(late)
		cell.Cup, cell.Own = drift.Judge(cell.Drift, w), drift.Judge(cell.Slip, w)
		out.Cells = append(out.Cells, cell)
	}
	pour, contact := millis(slip[1]), millis(late)
	out.Cells = append(out.Cells,
		drift.Cell{Column: r.Column(columns[4]), Drift: pour, Cup: drift.Judge(pour, columns[4].Window)},
		drift.Cell{Column: r.Column(columns[5]), Drift: contact})
	if i%3 == 0 {
		out.Cells = append(out.Cells, drift.Cell{Column: r.Column(columns[6]), Off: brew.Mass(draw.NormFloat64() * 2 * float64(brew.Gram))})
	}
	return out
}

// plant changes what would have been the slips of brew i.
func (b bar) plant(i, person int, slip *[4]float64) {
	far := 1 - float64(i)/float64(b.brews)
	switch {
	case person == 1:
		slip[0] *= 0.5 + 4*far
	case person == 2:
		slip[0], slip[1], slip[2] = slip[0]*0.6, slip[1]*0.6, slip[2]*0.6
	}
	if person != 2 {
		slip[1] += 5
	}
	if i/42 == 3 { // the fourth week
		slip[3] += 9
	}
	if i == b.brews-20 {
		slip[0] = 14
	}
	if i >= b.brews*2/3 {
		slip[1] *= 0.85
	}
}

// begun is when brew i began: six a day.
func begun(i int) time.Time {
	return monday.Add(time.Duration(i/6)*24*time.Hour + time.Duration(i%6)*90*time.Minute)
}

func millis(s float64) time.Duration { return time.Duration(s*1000) * time.Millisecond }

// attempts are those of the bar. Ada's first failed, and her second was withdrawn;
// Ben failed, and his second goes on; Cleo failed, passed, gave up the new version
// and tries it again. Her name is known whatever the case.
func attempts() []drift.Attempt {
	const first, second = "1f3a9c20", "7be04d11"
	return []drift.Attempt{
		{Person: "Ada", Version: first, Opened: begun(60), Brews: 3},
		{Person: "Cleo", Version: first, Opened: begun(0), Brews: 200},
		{Person: "cleo", Version: first, Opened: begun(100), Brews: 5},
		{Person: "Ada", Version: first, Opened: begun(80), Brews: 9, Withdrawn: begun(81)},
		{Person: "Cleo", Version: second, Opened: begun(320), Brews: 40},
		{Person: "Ben", Version: second, Opened: begun(354), Brews: 10},
		{Person: "Ben", Version: second, Opened: begun(359), Brews: 10},
		{Person: "Cleo", Version: second, Opened: begun(300), Brews: 40},
	}
}

// ledger is the record of drift in memory.
type ledger struct {
	many  pages.Many
	asked []pages.Filter
	err   error
}

func (l *ledger) Drifts(f pages.Filter) (pages.Many, error) {
	l.asked = append(l.asked, f)
	if l.err != nil {
		return pages.Many{}, l.err
	}
	if f.Kind != string(drift.Service) || l.many.Record == nil {
		return pages.Many{}, nil
	}
	many := l.many
	if f.Days > 0 {
		last := begun(many.Record.Len() - 1)
		many.Since = time.Date(last.Year(), last.Month(), last.Day()-f.Days+1, 0, 0, 0, 0, last.Location())
	}
	return many, nil
}

// everything is the bar with everything planted; a record is not changed by
// whoever looks at it.
var everything = bar{brews: 360}.record(1)

// planted is the record of that bar.
func planted() *ledger { return &ledger{many: pages.Many{Record: everything, Attempts: attempts()}} }
