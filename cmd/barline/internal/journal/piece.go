package journal

import (
	"bytes"
	"context"
	"database/sql"

	"barline/brew/drift"
)

// piecesSince is the schema from which on there are pieces as they are packed
// now. Schema 2 had some of an older form.
const piecesSince = 3

// perSlot is how many numbers of brews a slot has. The triggers of the migration
// know it too.
const perSlot = 1 << 9

func slotOf(n int64) int64 { return n / perSlot }

// piece is the brews of one slot, packed.
type piece struct {
	slot         int64
	brews, cells int
	leftOut      int // brews that cannot be read
	bytes        []byte
}

// makePiece folds the ended brews of a slot.
func makePiece(from *reader, c Counting, slot int64) (piece, error) {
	var r drift.Record
	f := folding{from: from, record: &r}
	where, args := c.where()
	err := f.add(where+" AND b.ended IS NOT NULL AND b.n >= ? AND b.n < ?", append(args, slot*perSlot, (slot+1)*perSlot), nil)
	return piece{slot: slot, brews: r.Len(), cells: r.Cells(), leftOut: f.leftOut, bytes: r.Pack(nil)}, err
}

func (p piece) same(o piece) bool {
	return p.brews == o.brews && p.cells == o.cells && p.leftOut == o.leftOut && bytes.Equal(p.bytes, o.bytes)
}

// pieceKey says of which brews a piece in the file is.
type pieceKey struct {
	counting Counting
	slot     int64
}

// keptPieces returns of which brews there are pieces.
func keptPieces(tx *sql.Tx) ([]pieceKey, error) {
	return gather(tx, func(s scanner) (k pieceKey, err error) {
		err = s.Scan(&k.counting.Recipe, &k.counting.Kind, &k.slot)
		return k, err
	}, "SELECT recipe, kind, slot FROM pieces ORDER BY recipe, kind, slot")
}

func readPiece(tx *sql.Tx, k pieceKey) (piece, error) {
	p := piece{slot: k.slot}
	err := tx.QueryRow("SELECT brews, cells, left_out, piece FROM pieces WHERE recipe = ? AND kind = ? AND slot = ?", k.counting.Recipe, k.counting.kind(), k.slot).
		Scan(&p.brews, &p.cells, &p.leftOut, &p.bytes)
	return p, err
}

// remakePieces makes pieces anew.
func remakePieces(from *reader, keys []pieceKey) error {
	if _, err := from.tx.Exec("DELETE FROM pieces"); err != nil {
		return err
	}
	for _, k := range keys {
		p, err := makePiece(from, k.counting, k.slot)
		if err != nil {
			return err
		}
		if err := putPiece(from.tx, k.counting, p); err != nil {
			return err
		}
	}
	return nil
}

// keeping puts pieces into the file, as long as nothing else has changed since
// they were folded.
type keeping struct {
	journal  *Journal
	counting Counting
	at       state
	over     bool // something has changed, or it cannot be written
}

// state tells whether a file has changed: what this connection has changed of
// it, and what others have.
type state struct{ ours, others int64 }

type asked interface {
	QueryRowContext(context.Context, string, ...any) *sql.Row
}

func stateOf(ctx context.Context, db asked) (s state, err error) {
	err = db.QueryRowContext(ctx, "SELECT total_changes(), data_version FROM pragma_data_version").Scan(&s.ours, &s.others)
	return s, err
}

// look notes the present state. Pieces that are folded from a later one are not
// kept.
func (k *keeping) look(ctx context.Context) {
	var err error
	k.at, err = stateOf(ctx, k.journal.write)
	k.over = err != nil
}

// put keeps pieces. Where it cannot that is no harm: they are made again.
func (k *keeping) put(ctx context.Context, pieces []piece) {
	if k == nil || k.over || len(pieces) == 0 {
		return
	}
	after := k.at
	err := k.journal.update(ctx, func(tx *sql.Tx) error {
		is, err := stateOf(ctx, tx)
		if err != nil || is != k.at {
			k.over = true
			return err
		}
		for _, p := range pieces {
			if err := putPiece(tx, k.counting, p); err != nil {
				return err
			}
		}
		after, err = stateOf(ctx, tx)
		return err
	})
	k.at, k.over = after, k.over || err != nil
}

func putPiece(tx *sql.Tx, c Counting, p piece) error {
	_, err := tx.Exec("INSERT OR REPLACE INTO pieces (recipe, kind, slot, brews, cells, left_out, piece) VALUES (?, ?, ?, ?, ?, ?, ?)",
		c.Recipe, c.kind(), p.slot, p.brews, p.cells, p.leftOut, p.bytes)
	return err
}
