package drift

import (
	"bytes"
	"cmp"
	"slices"
	"time"
)

// Choice says which brews of a record to look at. The zero Choice is all
// those of the newest version.
type Choice struct {
	Persons     []string  // any of them, see Same; none for everyone
	Since       time.Time // from this instant on; zero for no such bound
	Until       time.Time // before this instant; zero for no such bound
	Version     string    // "" for the newest of those chosen otherwise
	AllVersions bool      // older ones too, beat by beat where they can be joined
	Last        int       // of what is left, the latest so many; 0 for all
}

// Set is a choice of a record's brews, in the order in which they began.
// Brews that were not finished are not in it.
type Set struct {
	record *Record
	brews  []int32
	newest int // version, as the record numbers it
}

// Choose returns the brews of a choice. The order in which brews were added
// does not matter.
func (r *Record) Choose(c Choice) Set {
	s := Set{record: r}
	persons := make([]bool, len(r.persons.list))
	for n, p := range r.persons.list {
		persons[n] = len(c.Persons) == 0 || slices.ContainsFunc(c.Persons, func(name string) bool { return Same(name, p) })
	}
	from, to := int64(-1<<63), int64(1<<63-1)
	if !c.Since.IsZero() {
		from = c.Since.UnixNano()
	}
	if !c.Until.IsZero() {
		to = c.Until.UnixNano()
	}
	for n := range r.brews {
		k := &r.brews[n]
		if !k.stopped && persons[k.person] && from <= k.start && k.start < to && (c.Version == "" || r.versions.list[k.version] == c.Version) {
			s.brews = append(s.brews, int32(n))
		}
	}
	r.sort(s.brews)
	if len(s.brews) == 0 {
		return s
	}
	s.newest = int(r.brews[s.brews[len(s.brews)-1]].version)
	if !c.AllVersions {
		s.brews = slices.DeleteFunc(s.brews, func(n int32) bool { return int(r.brews[n].version) != s.newest })
	}
	if c.Last > 0 && len(s.brews) > c.Last {
		s.brews = s.brews[len(s.brews)-c.Last:]
	}
	return s
}

// sort puts brews into the order in which they began. Mostly they came so.
func (r *Record) sort(brews []int32) {
	earlier := func(a, b int32) int {
		x, y := &r.brews[a], &r.brews[b]
		if x.start != y.start {
			return cmp.Compare(x.start, y.start)
		}
		return bytes.Compare(x.id[:], y.id[:])
	}
	if !slices.IsSortedFunc(brews, earlier) {
		slices.SortFunc(brews, earlier)
	}
}

// Without returns the set less the brews that are in another one of the same
// record, so that the two can be set against each other. Its version stays.
func (s Set) Without(o Set) Set {
	there := make([]bool, len(s.record.brews))
	for _, n := range o.brews {
		there[n] = true
	}
	out := s
	out.brews = slices.DeleteFunc(slices.Clone(s.brews), func(n int32) bool { return there[n] })
	return out
}

// Len returns how many brews are in the set.
func (s Set) Len() int { return len(s.brews) }

// Head returns the set's brew i without its cells.
func (s Set) Head(i int) Brew { return s.record.Head(int(s.brews[i])) }

// Version returns the newest version in the set, "" for no brew.
func (s Set) Version() string {
	if len(s.brews) == 0 {
		return ""
	}
	return s.record.versions.list[s.newest]
}

// Persons returns who brewed, by name.
func (s Set) Persons() []string {
	seen := make([]bool, len(s.record.persons.list))
	for _, n := range s.brews {
		seen[s.record.brews[n].person] = true
	}
	var out []string
	for i, p := range s.record.persons.list {
		if seen[i] {
			out = append(out, p)
		}
	}
	slices.Sort(out)
	return out
}

// Columns returns what is measured in the set's newest version: beats, then
// lengths, then weights, each in the plan's order.
func (s Set) Columns() []Column {
	var out []Column
	for _, n := range s.columns() {
		out = append(out, s.record.columns[n])
	}
	return out
}

func (s Set) columns() []int {
	if len(s.brews) == 0 {
		return nil
	}
	return s.record.columnsOf(s.Version())
}
