package drift

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"barline/brew"
)

// Record is what statistics keep of many brews of one recipe, in whatever
// order they come. The zero Record is empty. It is not for use by several
// goroutines while brews are being added.
//
// The way from many brews to what they tell:
//
//	Record.Take, Add   brews into the record; TakeLane is the quick way
//	Record.Pack        all of it in bytes, which Unpack brings in again
//	Record.Choose      which of them to look at, a Set
//	Set.Table          a row of figures for each beat, length and weight
//	Set.Series         one of these, brew by brew: its Control charts, its Trend
//	Compare, Against   two sets
//	Set.Where          which beat makes the time that later ones inherit
//	Set.Findings       what may be claimed, in sentences
//	Record.Fit         who may brew alone
//
// It keeps a brew in some 40 bytes and each of its figures in 12: times to a
// millisecond, a hundredth of what is shown, within ±24 days; weights to a
// milligram, within ±2 kg. What lies beyond is kept as that bound. Verdicts
// are those given, from the exact times. There may be 65,536 persons, versions
// and columns.
type Record struct {
	columns  []Column
	known    map[columnID]int
	persons  people
	versions words
	brews    []kept
	cells    []cell

	forgotten []Forgotten
}

// Forgotten is what must be known of a brew that was deleted: that it was, not
// how it went.
type Forgotten struct {
	Person  string
	Version string
	Start   time.Time
}

// Forgot takes in that a brew was deleted which would be in the record. What
// deleting must not change, whether an attempt to brew alone was passed, goes by
// it; nothing else does. It is not packed.
func (r *Record) Forgot(f Forgotten) { r.forgotten = append(r.forgotten, f) }

// Brew is one brew as a record takes it.
type Brew struct {
	// ID is the brew's own; it orders brews that began in the same instant.
	ID      [16]byte
	Start   time.Time // with the offset of the place: weeks and days are those of its clock
	Person  string    // "" where nobody said
	Version string    // of the recipe
	// Stopped says that the brew was meant to count but was not finished.
	// Statistics leave it out; in an attempt to brew alone it is a failure,
	// or whoever stops in time could not fail.
	Stopped bool
	Cells   []Cell
}

// Cell is what became of one thing that is measured, in one brew. What is not
// marked has no times and no verdicts.
type Cell struct {
	Column int // from Record.Column
	Fate   Fate
	Drift  time.Duration // of a beat or a length
	Slip   time.Duration // of a beat
	Off    brew.Mass     // of a weight: read minus target
	Cup    Verdict       // on the drift
	Own    Verdict       // on a beat's slip
	// StartUnmarked is Row's: the slip holds slow work and a late start
	// together.
	StartUnmarked bool
	// BehindBed is Row's: what the bed did may be in the slip of a person's
	// beat, which then is nobody's.
	BehindBed bool
}

// Fate is what became of a beat.
type Fate uint8

// The fates. A beat that was called and waited for in vain is unmarked; one
// that the brew did not get to is not reached.
const (
	Marked Fate = iota
	Unmarked
	Skipped
	NotReached
)

// Add takes a brew into the record.
func (r *Record) Add(b Brew) {
	_, zone := b.Start.Zone()
	r.brews = append(r.brews, kept{
		id: b.ID, start: b.Start.UnixNano(), zone: int32(zone), first: uint32(len(r.cells)), count: uint16(len(b.Cells)),
		person: uint16(r.persons.index(b.Person)), version: uint16(r.versions.index(b.Version)), stopped: b.Stopped,
	})
	for _, c := range b.Cells {
		r.cells = append(r.cells, packed(c, r.columns[c.Column].What))
	}
}

// Grow makes room for so many more brews and cells, where it is known how many
// will come.
func (r *Record) Grow(brews, cells int) {
	r.brews, r.cells = slices.Grow(r.brews, brews), slices.Grow(r.cells, cells)
}

// Len returns how many brews were added.
func (r *Record) Len() int { return len(r.brews) }

// Cells returns how many figures its brews have.
func (r *Record) Cells() int { return len(r.cells) }

// Persons returns who brewed, in the order in which they were met and as they
// were spelled then: Same names are one person.
func (r *Record) Persons() []string { return r.persons.list }

// Versions returns the recipe's versions that were brewed, the one whose first
// brew was the earliest first.
func (r *Record) Versions() []string {
	first := make([]int64, len(r.versions.list))
	for n := range first {
		first[n] = 1<<63 - 1
	}
	for n := range r.brews {
		k := &r.brews[n]
		first[k.version] = min(first[k.version], k.start)
	}
	out := slices.Clone(r.versions.list)
	slices.SortFunc(out, func(a, b string) int {
		return cmp.Or(cmp.Compare(first[r.versions.numbers[a]], first[r.versions.numbers[b]]), cmp.Compare(a, b))
	})
	return out
}

// Head returns the brew of the given number, counted from 0 in the order in
// which they were added, without its cells.
func (r *Record) Head(brew int) Brew {
	k := &r.brews[brew]
	return Brew{ID: k.id, Start: k.begun(), Person: r.persons.list[k.person], Version: r.versions.list[k.version], Stopped: k.stopped}
}

// Find returns the number of the brew with the given id, false where there is
// none.
func (r *Record) Find(id [16]byte) (int, bool) {
	n := slices.IndexFunc(r.brews, func(k kept) bool { return k.id == id })
	return n, n >= 0
}

// kept is a brew as the record keeps it.
type kept struct {
	id      [16]byte
	start   int64  // nanoseconds since 1970
	zone    int32  // seconds east of Greenwich
	first   uint32 // of its cells
	count   uint16
	person  uint16
	version uint16
	stopped bool
}

func (k *kept) begun() time.Time {
	return time.Unix(0, k.start).In(time.FixedZone("", int(k.zone)))
}

func (r *Record) cellsOf(k *kept) []cell { return r.cells[k.first : k.first+uint32(k.count)] }

// cell is a Cell in 12 bytes.
type cell struct {
	drift, slip int32 // milliseconds; a weight's drift is milligrams
	column      uint16
	fate        Fate
	says        uint8 // the cup's verdict, two bits up the own, then StartUnmarked and BehindBed
}

// The verdicts in two bits; a length that is shorter is early, and so on.
const (
	saysNothing = iota
	saysOnTime
	saysEarly
	saysLate
	saysStart = 1 << 4
	saysBed   = 1 << 5
)

func packed(c Cell, what What) cell {
	p := cell{column: uint16(c.Column), fate: c.Fate, says: bitsOf(c.Cup) | bitsOf(c.Own)<<2}
	switch {
	case c.Fate != Marked:
	case what == Weights:
		p.drift = bounded(int64(c.Off))
	case what == Lengths:
		p.drift = milli(c.Drift)
	default:
		p.drift, p.slip = milli(c.Drift), milli(c.Slip)
	}
	if c.StartUnmarked {
		p.says |= saysStart
	}
	if c.BehindBed {
		p.says |= saysBed
	}
	return p
}

func (c cell) cup() uint8 { return c.says & 3 }
func (c cell) own() uint8 { return c.says >> 2 & 3 }

func (c cell) behindBed() bool { return c.says&saysBed != 0 }

func bitsOf(v Verdict) uint8 {
	switch v {
	case OnTime, AsWritten:
		return saysOnTime
	case Early, Shorter:
		return saysEarly
	case Late, Longer:
		return saysLate
	}
	return saysNothing
}

func milli(d time.Duration) int32 { return bounded(d.Round(time.Millisecond).Milliseconds()) }

func bounded(n int64) int32 {
	const most = 1<<31 - 1
	return int32(max(-most, min(n, most)))
}

// people numbers persons in the order in which they are met.
type people struct {
	list    []string // as each was spelled first
	numbers map[string]int
}

// index finds a spelling that was met before, and else whoever it means.
func (p *people) index(name string) int {
	n, ok := p.numbers[name]
	if ok {
		return n
	}
	if n = slices.IndexFunc(p.list, func(known string) bool { return Same(known, name) }); n < 0 {
		n = len(p.list)
		p.list = append(p.list, strings.TrimSpace(name))
	}
	if p.numbers == nil {
		p.numbers = map[string]int{}
	}
	p.numbers[name] = n
	return n
}

// words numbers strings in the order in which they are met.
type words struct {
	list    []string
	numbers map[string]int
}

func (w *words) index(s string) int {
	n, ok := w.numbers[s]
	if !ok {
		if w.numbers == nil {
			w.numbers = map[string]int{}
		}
		n = len(w.list)
		w.list, w.numbers[s] = append(w.list, s), n
	}
	return n
}
