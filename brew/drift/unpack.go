package drift

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"time"

	"barline/brew"
)

// Unpack adds the brews of a piece to the record, behind those that it has.
// The error is ErrDamaged, with where; then the record is as it was but for
// columns, persons and versions that no brew has.
func (r *Record) Unpack(piece []byte) error {
	brews, cells := len(r.brews), len(r.cells)
	u := unpacker{left: piece}
	if err := r.unpack(&u); err != nil {
		r.brews, r.cells = r.brews[:brews], r.cells[:cells]
		return err
	}
	return nil
}

func (r *Record) unpack(u *unpacker) error {
	u.open()
	columns := u.columns(r)
	persons, versions := u.words(r.persons.index), u.words(r.versions.index)
	shapes := u.shapes(len(columns))
	first := len(r.brews)
	u.heads(r, persons, versions, shapes)
	for n := first; n < len(r.brews) && u.bad == ""; n++ {
		u.cells(r.cellsOf(&r.brews[n]), columns)
	}
	if len(u.left) != 0 && u.bad == "" {
		u.bad = "something stands behind it"
	}
	if u.bad != "" {
		return fmt.Errorf("%w: %s", ErrDamaged, u.bad)
	}
	return nil
}

// unpacker reads what a packer wrote. Once something is bad it reads zeros.
type unpacker struct {
	left []byte
	bad  string // what; "" while all is well
}

// fail notes the first thing that is bad.
func (u *unpacker) fail(what string) {
	if u.bad == "" {
		u.bad = what
	}
	u.left = nil
}

// open looks at the checksum and the form's number.
func (u *unpacker) open() {
	end := len(u.left) - 4
	switch {
	case end < 1:
		u.fail("its length")
	case crc32.Checksum(u.left[:end], castagnoli) != binary.LittleEndian.Uint32(u.left[end:]):
		u.fail("its checksum")
	case u.left[0] != packing:
		u.fail(fmt.Sprintf("of form %d, want %d", u.left[0], packing))
	default:
		u.left = u.left[1:end]
	}
}

// unpacked is a column of the piece: its number in the record, and whether its
// cells have two times.
type unpacked struct {
	number uint16
	ofBeat bool
}

func (u *unpacker) columns(r *Record) []unpacked {
	out := make([]unpacked, u.count(leastColumn))
	for n := range out {
		if c := u.column(); u.bad == "" {
			out[n] = unpacked{uint16(r.Column(c)), c.What == Beats}
		}
	}
	return out
}

// leastColumn and leastHead are the fewest bytes that a column and the head of a
// brew take.
const (
	leastColumn = 13
	leastHead   = 21
)

// shapes reads them as cells of which nothing is known but the columns, as the
// piece numbers these.
func (u *unpacker) shapes(columns int) [][]cell {
	out := make([][]cell, u.count(1))
	for n := range out {
		out[n] = make([]cell, u.count(1))
		for i := range out[n] {
			out[n][i].column = uint16(u.below(columns))
		}
	}
	return out
}

// heads adds the brews to the record, with cells that are still to be read.
func (u *unpacker) heads(r *Record, persons, versions []uint16, shapes [][]cell) {
	brews := u.count(leastHead)
	if u.bad != "" {
		return
	}
	ids := u.left[:16*brews]
	u.left = u.left[16*brews:]
	start, zone, cells := int64(0), int64(0), 0
	for n := range brews {
		start, zone = start+u.signed(), zone+u.signed()
		person, version, shape := u.below(len(persons)), u.below(len(versions)), u.below(2*len(shapes))
		if zone < -oneDay || zone > oneDay {
			u.fail("a place's offset")
		}
		if u.bad != "" {
			return
		}
		own := shapes[shape>>1]
		if cells += len(own); cells > len(u.left) || len(own) > 1<<16-1 {
			u.fail("a shape")
			return
		}
		r.brews = append(r.brews, kept{
			id: [16]byte(ids[16*n:]), start: start, zone: int32(zone), person: persons[person], version: versions[version],
			first: uint32(len(r.cells)), count: uint16(len(own)), stopped: shape&1 == 1,
		})
		r.cells = append(r.cells, own...)
	}
}

// oneDay bounds a place's offset, in seconds.
const oneDay = 24 * 60 * 60

// cells reads what became of one brew's. They are most of a piece.
func (u *unpacker) cells(own []cell, columns []unpacked) {
	left := u.left
	for i := range own {
		c := &own[i]
		column := columns[c.column]
		c.column = column.number
		if len(left) == 0 {
			u.fail("a cell")
			return
		}
		c.fate, c.says = Fate(left[0]&3), left[0]>>2
		left = left[1:]
		if c.fate != Marked {
			continue
		}
		n, size := varint(left)
		c.drift, left = int32(n), left[size:]
		if column.ofBeat {
			n, more := varint(left)
			c.slip, left, size = c.drift-int32(n), left[more:], min(size, more)
		}
		if size == 0 {
			u.fail("a cell")
			return
		}
	}
	u.left = left
}

// varint reads a number, most of which have one or two bytes; 0 bytes where it
// is none.
func varint(b []byte) (n int64, size int) {
	if len(b) > 1 && b[1] < 0x80 {
		if b[0] < 0x80 {
			return signedOf(uint64(b[0])), 1
		}
		return signedOf(uint64(b[0]&0x7f) | uint64(b[1])<<7), 2
	}
	n, size = binary.Varint(b)
	return n, max(size, 0)
}

func signedOf(n uint64) int64 { return int64(n>>1) ^ -int64(n&1) }

func (u *unpacker) number() uint64 {
	n, size := binary.Uvarint(u.left)
	if size <= 0 {
		u.fail("a number")
		return 0
	}
	u.left = u.left[size:]
	return n
}

func (u *unpacker) signed() int64 { return signedOf(u.number()) }

// below reads an index into n things.
func (u *unpacker) below(n int) int {
	i := u.number()
	if i >= uint64(n) {
		u.fail("an index")
		return 0
	}
	return int(i)
}

// count reads how many things follow, of which each takes some bytes.
func (u *unpacker) count(least int) int {
	n := u.number()
	if n > uint64(len(u.left)/least) {
		u.fail("a count")
		return 0
	}
	return int(n)
}

func (u *unpacker) word() string {
	n := u.count(1)
	s := string(u.left[:n])
	u.left = u.left[n:]
	return s
}

// words reads a list of them, and numbers them as the record does.
func (u *unpacker) words(index func(string) int) []uint16 {
	out := make([]uint16, u.count(1))
	for n := range out {
		if s := u.word(); u.bad == "" {
			out[n] = uint16(index(s))
		}
	}
	return out
}

func (u *unpacker) column() Column {
	c := Column{What: What(u.word()), Version: u.word(), Key: u.word(), Name: u.word(), Step: u.word(),
		Edge: brew.Edge(u.word()), Action: brew.Action(u.word()), Owner: brew.Owner(u.word())}
	c.Place, c.Length = int(u.signed()), time.Duration(u.signed())
	c.Window = brew.Window{Early: time.Duration(u.signed()), Late: time.Duration(u.signed())}
	c.HasWindow = u.below(2) == 1
	return c
}
