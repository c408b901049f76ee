package page_test

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/page"
)

// bar is an invented bar whose brews follow from a seed: a bloom, a pour that
// hangs behind it, and the bed; each inherits the lateness of the one before.
type bar struct {
	brews    int
	persons  []string
	versions []string // one after the other, in equal parts
	names    [3]string
	windows  [3]brew.Window
	slip     func(dice *rand.Rand, i, beat int, person string) float64 // in seconds
	fate     func(i, beat int) drift.Fate
}

var (
	opens = time.Date(2026, 3, 2, 7, 30, 0, 0, time.FixedZone("", 3600))
	made  = time.Date(2026, 7, 1, 18, 0, 0, 0, time.FixedZone("", 3600))
)

func sec(s float64) time.Duration { return time.Duration(math.Round(s*1000)) * time.Millisecond }

// usual is a bar where nothing is the matter.
func usual(brews int) bar {
	return bar{
		brews: brews, persons: []string{"Ada", "Mo"}, versions: []string{"1a2b3c4d5e6f"},
		names:   [3]string{"bloom, end", "second pour, end", "drawdown, end"},
		windows: [3]brew.Window{{Early: sec(3), Late: sec(3)}, {Early: sec(2), Late: sec(4)}, {Early: sec(15), Late: sec(15)}},
		slip:    func(dice *rand.Rand, _, _ int, _ string) float64 { return dice.NormFloat64() },
		fate:    func(int, int) drift.Fate { return drift.Marked },
	}
}

// planted is a bar with something to find: Mo ends the pour late, which the bed
// inherits; the bloom is seldom marked; two versions; nobody signed the last.
func planted() bar {
	b := usual(120)
	b.versions = []string{"0f0f0f0f0f0f", "1a2b3c4d5e6f"}
	b.slip = func(dice *rand.Rand, i, beat int, person string) float64 {
		x := dice.NormFloat64()
		if person == "Mo" && beat == 1 {
			x += 6
		}
		if i == 100 && beat == 2 {
			x += 40
		}
		return x
	}
	b.fate = func(i, beat int) drift.Fate {
		switch {
		case beat == 0 && i%3 == 0:
			return drift.Unmarked
		case beat == 1 && i == 50:
			return drift.Skipped
		}
		return drift.Marked
	}
	return b
}

func (b bar) column(version string, beat int) drift.Column {
	c := drift.Column{
		What: drift.Beats, Version: version, Place: beat, Key: b.names[beat], Name: b.names[beat], Edge: brew.EndEdge, Owner: brew.Person,
		Step: [3]string{"bloom", "second pour", "drawdown"}[beat], Action: brew.Pour, Length: 10 * time.Second, Window: b.windows[beat], HasWindow: true,
	}
	if beat == 2 {
		c.Owner, c.Action = brew.Bed, brew.Drawdown
	}
	return c
}

// all draws the brews, three a day.
func (b bar) all(seed uint64) (out []drift.Brew, r *drift.Record) {
	dice := rand.New(rand.NewPCG(seed, 17))
	r = &drift.Record{}
	for i := range b.brews {
		version := b.versions[i*len(b.versions)/b.brews]
		one := drift.Brew{Start: opens.AddDate(0, 0, i/3).Add(time.Duration(i%3) * 2 * time.Hour), Version: version, Person: b.persons[i%len(b.persons)]}
		binary.BigEndian.PutUint64(one.ID[:], uint64(i))
		late := 0.0
		for beat := range b.names {
			c := b.column(version, beat)
			cell := drift.Cell{Column: r.Column(c), Fate: b.fate(i, beat)}
			slip := b.slip(dice, i, beat, one.Person)
			if cell.Fate == drift.Marked {
				cell.Slip, cell.StartUnmarked = sec(slip), beat == 1
				cell.Drift = cell.Slip + sec(late)
				cell.Cup, cell.Own = drift.Judge(cell.Drift, c.Window), drift.Judge(cell.Slip, c.Window)
				late = cell.Drift.Seconds()
			}
			one.Cells = append(one.Cells, cell)
		}
		out = append(out, one)
	}
	return out, r
}

func (b bar) record(seed uint64) *drift.Record {
	brews, r := b.all(seed)
	for _, one := range brews {
		r.Add(one)
	}
	return r
}

// report is the page of a bar's record.
func (b bar) report(seed uint64) page.Report {
	return page.Report{
		Recipe: "Dock cone", Counted: "service brews that were finished, at speed 1 and from the start", Made: made,
		Record: b.record(seed), Choice: drift.Choice{AllVersions: true},
		Attempts: []drift.Attempt{
			{Person: "Mo", Version: b.versions[0], Opened: opens, Brews: 5},
			{Person: "Ada", Version: b.versions[len(b.versions)-1], Opened: opens, Brews: 3},
		},
	}
}
