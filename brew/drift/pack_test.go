package drift_test

import (
	"bytes"
	"errors"
	"fmt"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"

	"pgregory.net/rapid"
)

// anything draws a record of whatever a record can hold.
func anything(t *rapid.T) *drift.Record {
	r := &drift.Record{}
	var columns []int
	var whats []drift.What
	for i := range rapid.IntRange(0, 5).Draw(t, "columns") {
		c := beatColumn(rapid.SampledFrom([]string{"1", "2"}).Draw(t, "version"), i%4)
		c.What = rapid.SampledFrom([]drift.What{drift.Beats, drift.Lengths, drift.Weights}).Draw(t, "what")
		c.Key, c.Place = fmt.Sprint(c.Key, i), i-2
		c.HasWindow = c.What == drift.Beats
		columns, whats = append(columns, r.Column(c)), append(whats, c.What)
	}
	for i := range rapid.IntRange(0, 20).Draw(t, "brews") {
		b := drift.Brew{
			ID: [16]byte{byte(i), 7}, Person: rapid.SampledFrom([]string{"", "Ada", "Jörg"}).Draw(t, "person"),
			Version: rapid.SampledFrom([]string{"1", "2", "3"}).Draw(t, "version"), Stopped: rapid.Bool().Draw(t, "stopped"),
			Start: time.Unix(0, rapid.Int64().Draw(t, "start")).In(time.FixedZone("", 60*rapid.IntRange(-900, 900).Draw(t, "zone"))),
		}
		for n, c := range columns {
			if rapid.IntRange(0, 4).Draw(t, "left out") == 0 {
				continue
			}
			time := func(name string) time.Duration {
				return time.Duration(rapid.Int64Range(-1<<62, 1<<62).Draw(t, name))
			}
			cell := drift.Cell{Column: c, Fate: drift.Fate(rapid.IntRange(0, 3).Draw(t, "fate")), Drift: time("drift"), Slip: time("slip"),
				Cup: rapid.SampledFrom([]drift.Verdict{"", drift.OnTime, drift.Early, drift.Late}).Draw(t, "cup"), StartUnmarked: rapid.Bool().Draw(t, "start unmarked"), BehindBed: rapid.Bool().Draw(t, "behind the bed")}
			if whats[n] == drift.Weights {
				cell.Off = brew.Mass(rapid.Int64().Draw(t, "off"))
			}
			b.Cells = append(b.Cells, cell)
		}
		r.Add(b)
	}
	return r
}

// everything is all that can be asked of a record's brews, in the order in
// which they were added.
func everything(r *drift.Record) string {
	out := fmt.Sprint(r.Len(), r.Cells(), r.Persons(), r.Versions(), "\n")
	for n := range r.Len() {
		out += fmt.Sprintln(r.Head(n))
	}
	for _, v := range r.Versions() {
		s := r.Choose(drift.Choice{Version: v})
		for _, c := range s.Columns() {
			for _, m := range []drift.Measure{drift.ByDrift, drift.BySlip} {
				x, _ := s.Series(c.What, c.Key, m)
				out += fmt.Sprintln(c, x.Tally, x.Values, x.Brews)
			}
		}
	}
	return out
}

func TestWhatIsPackedIsUnpackedTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anything(t)
		piece := r.Pack([]byte("before"))[6:]
		var back drift.Record
		if err := back.Unpack(piece); err != nil {
			t.Fatal(err)
		}
		if got, want := everything(&back), everything(r); got != want {
			t.Errorf("unpacked\n%s\nwant\n%s", got, want)
		}
		if again := back.Pack(nil); !bytes.Equal(again, piece) {
			t.Errorf("packed again it is % x, was % x", again, piece)
		}
	})
}

func TestPiecesMakeOneRecordInTheirOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := anything(t)
		more := anything(t)
		var both drift.Record
		for _, r := range []*drift.Record{whole, more, whole} {
			if err := both.Unpack(r.Pack(nil)); err != nil {
				t.Fatal(err)
			}
		}
		if both.Len() != 2*whole.Len()+more.Len() || both.Cells() != 2*whole.Cells()+more.Cells() {
			t.Fatalf("%d brews of %d cells", both.Len(), both.Cells())
		}
		for n := range both.Len() {
			want := whole
			i := n
			if i >= whole.Len() {
				if i -= whole.Len(); i < more.Len() {
					want = more
				} else {
					i -= more.Len()
				}
			}
			if got, want := fmt.Sprint(both.Head(n)), fmt.Sprint(want.Head(i)); got != want {
				t.Errorf("brew %d is %s, want %s", n, got, want)
			}
		}
	})
}

func TestADamagedPieceIsRefusedAndLeavesTheRecordAsItWas(t *testing.T) {
	piece := many(40).Pack(nil)
	r := many(3)
	before := everything(r)
	refused := func(t *testing.T, what string, piece []byte) {
		t.Helper()
		if err := r.Unpack(piece); !errors.Is(err, drift.ErrDamaged) {
			t.Errorf("%s: %v", what, err)
		}
	}
	for n := range piece {
		refused(t, fmt.Sprint("cut at ", n), piece[:n])
		bad := bytes.Clone(piece)
		bad[n] ^= 1 << (n % 8)
		refused(t, fmt.Sprint("flipped at ", n), bad)
	}
	refused(t, "longer", append(bytes.Clone(piece), 0))
	if after := everything(r); after != before {
		t.Errorf("it was\n%s\nand is\n%s", before, after)
	}
}

func TestAPieceMayNumberItsColumnsAndPersonsOtherwise(t *testing.T) {
	record := func(persons []string, beats ...int) *drift.Record {
		r := &drift.Record{}
		for _, b := range beats {
			r.Column(beatColumn("1", b))
		}
		for i, p := range persons {
			var cells []drift.Cell
			for n, b := range beats {
				cells = append(cells, drift.Cell{Column: n, Drift: sec(float64(10*b + i)), Slip: sec(float64(b))})
			}
			r.Add(drift.Brew{ID: [16]byte{byte(i), byte(len(beats))}, Start: monday.Add(time.Duration(i) * time.Hour), Person: p, Version: "1", Cells: cells})
		}
		return r
	}
	r := record([]string{"Ada", "Bo"}, bloom, second, third)
	if err := r.Unpack(record([]string{"Cy", "Bo", "Ada"}, third, bloom).Pack(nil)); err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprint(r.Persons()); got != "[Ada Bo Cy]" {
		t.Errorf("persons %s", got)
	}
	for _, c := range []struct {
		person string
		beat   int
		want   string
	}{{"Ada", bloom, "[0 2]"}, {"Ada", third, "[20 22]"}, {"Bo", third, "[21 21]"}, {"Cy", bloom, "[0]"}, {"Cy", second, "[]"}} {
		x, _ := r.Choose(drift.Choice{Persons: []string{c.person}}).Series(drift.Beats, beatKeys[c.beat], drift.ByDrift)
		if got := fmt.Sprint(x.Values); got != c.want {
			t.Errorf("%s of %s: %s, want %s", beatKeys[c.beat], c.person, got, c.want)
		}
	}
}

// What has a right checksum and is no piece all the same may have told the
// record of persons, but of no brew.
func TestWhatIsNoPieceAddsNoBrew(t *testing.T) {
	piece := many(40).Pack(nil)
	inside := piece[:len(piece)-4]
	other := bytes.Clone(inside)
	other[0]++
	for name, bad := range map[string][]byte{
		"longer":          append(bytes.Clone(inside), 0),
		"shorter":         inside[:len(inside)-1],
		"of another form": other,
		"nothing":         nil,
	} {
		r := many(3)
		if err := r.Unpack(drift.Sealed(bad)); !errors.Is(err, drift.ErrDamaged) || r.Len() != 3 || r.Cells() != 24 {
			t.Errorf("%s: %v, %d brews, %d cells", name, err, r.Len(), r.Cells())
		}
	}
}

func TestAPieceIsSmall(t *testing.T) {
	const brews = 500
	if size := len(many(brews).Pack(nil)); size > 70*brews {
		t.Errorf("%d brews of eight beats take %d bytes, want at most 70 each", brews, size)
	}
}

// FuzzUnpack gives Unpack bytes behind a right checksum: it must refuse them or
// take what packs again.
func FuzzUnpack(f *testing.F) {
	for _, r := range []*drift.Record{{}, many(2)} {
		piece := r.Pack(nil)
		f.Add(piece[:len(piece)-4])
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		var r drift.Record
		if err := r.Unpack(drift.Sealed(text)); err != nil {
			if !errors.Is(err, drift.ErrDamaged) || r.Len() != 0 || r.Cells() != 0 {
				t.Errorf("%v, %d brews", err, r.Len())
			}
			return
		}
		r.Choose(drift.Choice{AllVersions: true}).Table(drift.ByDrift)
		var back drift.Record
		again := r.Pack(nil)
		if err := back.Unpack(again); err != nil {
			t.Fatal(err)
		}
		if twice := back.Pack(nil); !bytes.Equal(again, twice) {
			t.Errorf("packed again it is % x, was % x", twice, again)
		}
	})
}
