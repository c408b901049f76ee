package drift

import (
	"encoding/binary"
	"errors"
	"hash/crc32"
	"strings"
)

// packing is the number of the form that Pack writes. A piece of another
// number is refused: what was packed can always be made anew.
const packing = 2

// ErrDamaged says that a piece is not as Pack wrote it.
var ErrDamaged = errors.New("the piece is damaged")

// Pack appends the whole record to a slice, in some 70 bytes a brew of eight
// beats, and returns it. Unpack brings it into a record again. The same record
// gives the same bytes: its columns, persons, versions and brews in their order,
// so that two records that were filled alike can be compared by them.
//
// A piece is its form's number; the columns, persons and versions; the shapes,
// which are lists of columns that many brews share; the heads of the brews, one
// field after the other; their cells; and a checksum of all that (CRC-32,
// Castagnoli 1993). Numbers are varints, times as differences.
func (r *Record) Pack(to []byte) []byte {
	p := packer{begin: len(to), out: append(to, packing), shapes: map[string]int{}}
	p.list(len(r.columns), func(n int) { p.column(r.columns[n]) })
	p.list(len(r.persons.list), func(n int) { p.word(r.persons.list[n]) })
	p.list(len(r.versions.list), func(n int) { p.word(r.versions.list[n]) })
	shapes := make([]int, len(r.brews))
	var cells [][]cell
	for n := range r.brews {
		own := r.cellsOf(&r.brews[n])
		name := nameOf(own)
		shape, known := p.shapes[name]
		if !known {
			shape = len(cells)
			p.shapes[name], cells = shape, append(cells, own)
		}
		shapes[n] = shape
	}
	p.list(len(cells), func(n int) {
		p.list(len(cells[n]), func(i int) { p.number(uint64(cells[n][i].column)) })
	})
	p.number(uint64(len(r.brews)))
	p.heads(r.brews, shapes)
	for n := range r.brews {
		for _, c := range r.cellsOf(&r.brews[n]) {
			p.cell(c, r.columns[c.column].What == Beats)
		}
	}
	return seal(p.out, p.begin)
}

// seal appends the checksum of what begins at a byte.
func seal(piece []byte, begin int) []byte {
	return binary.LittleEndian.AppendUint32(piece, crc32.Checksum(piece[begin:], castagnoli))
}

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// nameOf tells shapes apart.
func nameOf(cells []cell) string {
	var b strings.Builder
	for _, c := range cells {
		b.WriteByte(byte(c.column))
		b.WriteByte(byte(c.column >> 8))
	}
	return b.String()
}

type packer struct {
	begin  int
	out    []byte
	shapes map[string]int
}

func (p *packer) number(n uint64) { p.out = binary.AppendUvarint(p.out, n) }
func (p *packer) signed(n int64)  { p.out = binary.AppendVarint(p.out, n) }

func (p *packer) word(s string) {
	p.number(uint64(len(s)))
	p.out = append(p.out, s...)
}

func (p *packer) list(n int, each func(n int)) {
	p.number(uint64(n))
	for i := range n {
		each(i)
	}
}

func (p *packer) column(c Column) {
	for _, s := range []string{string(c.What), c.Version, c.Key, c.Name, c.Step, string(c.Edge), string(c.Action), string(c.Owner)} {
		p.word(s)
	}
	for _, n := range []int64{int64(c.Place), int64(c.Length), int64(c.Window.Early), int64(c.Window.Late)} {
		p.signed(n)
	}
	if c.HasWindow {
		p.number(1)
	} else {
		p.number(0)
	}
}

// heads writes the brews without their cells.
func (p *packer) heads(brews []kept, shapes []int) {
	for n := range brews {
		p.out = append(p.out, brews[n].id[:]...)
	}
	start, zone := int64(0), int64(0)
	for n := range brews {
		b := &brews[n]
		p.signed(b.start - start)
		p.signed(int64(b.zone) - zone)
		start, zone = b.start, int64(b.zone)
		p.number(uint64(b.person))
		p.number(uint64(b.version))
		stopped := 0
		if b.stopped {
			stopped = 1
		}
		p.number(uint64(shapes[n]<<1 | stopped))
	}
}

// cell writes one byte of what became of it, and its times where there are
// any: of a beat what was carried, which is mostly nothing, in place of the slip.
func (p *packer) cell(c cell, ofBeat bool) {
	p.out = append(p.out, byte(c.fate)|c.says<<2)
	if c.fate != Marked {
		return
	}
	p.signed(int64(c.drift))
	if ofBeat {
		p.signed(int64(c.drift) - int64(c.slip))
	}
}
