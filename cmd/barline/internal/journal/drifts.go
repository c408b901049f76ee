package journal

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"slices"
	"sync"

	"barline/brew/drift"
)

// Counting says which brews of a recipe statistics take. The zero values are
// those of the usual: service, at speed 1, from the start.
type Counting struct {
	Recipe   string // its name, whatever the case
	Kind     Kind   // "" is service
	AnySpeed bool   // at every speed, not at 1 alone
	AnyStart bool   // begun anywhere, not at the start alone
}

// cached reports whether there are pieces of these brews.
func (c Counting) cached() bool { return !c.AnySpeed && !c.AnyStart }

// where returns the conditions on rows b of brews.
func (c Counting) where() (conditions string, args []any) {
	conditions, args = "b.recipe = ? COLLATE NOCASE AND b.kind = ?", []any{c.Recipe, c.kind()}
	if !c.AnySpeed {
		conditions += " AND b.speed = 1"
	}
	if !c.AnyStart {
		conditions += " AND b.from_ns = 0"
	}
	return conditions, args
}

func (c Counting) kind() Kind { return cmp.Or(c.Kind, drift.Service) }

// Drifts is what statistics take of many brews.
type Drifts struct {
	Record *drift.Record
	// LeftOut is how many brews cannot be read; Verify says which and why.
	LeftOut int
}

// Drifts returns the brews of a recipe as brew/drift takes them: those that
// were finished, and as such those that were stopped or cut off. One that is
// under way is not among them. What was folded before is read from a cache; what
// is folded now is put there, where the file can be written.
func (j *Journal) Drifts(ctx context.Context, c Counting) (Drifts, error) {
	j.gathering.Lock()
	defer j.gathering.Unlock()
	var names []any
	err := j.view(ctx, func(tx *sql.Tx) (err error) {
		names, err = spelt(tx, "recipe", c.Recipe)
		return err
	})
	g := gathering{journal: j, ctx: ctx, counting: c, out: Drifts{Record: &drift.Record{}}}
	for _, name := range names {
		g.counting.Recipe = name.(string)
		err = cmp.Or(err, g.gather())
	}
	if err != nil {
		return Drifts{}, err
	}
	return g.out, g.forgotten()
}

// gather takes the brews of one spelling of the recipe's name, whatever the case
// of its ASCII letters: so the file's indices and pieces know names.
func (g *gathering) gather() error {
	if g.keep = nil; g.counting.cached() && g.journal.fault == nil { // a file that can be written is of the newest schema
		g.keep = &keeping{journal: g.journal, counting: g.counting}
		g.keep.look(g.ctx)
	}
	if err := g.journal.view(g.ctx, g.ended); err != nil {
		return err
	}
	return g.journal.view(g.ctx, g.open)
}

// gathering is the making of one record.
type gathering struct {
	journal  *Journal
	ctx      context.Context
	counting Counting
	keep     *keeping // nil where nothing can be kept
	out      Drifts
}

// ended takes the brews that have ended: the pieces that are there, and between
// them those that are made now.
func (g *gathering) ended(tx *sql.Tx) error {
	last, err := lastSlot(tx)
	if err != nil || last < 0 {
		return err
	}
	have, err := g.have(tx)
	if err != nil {
		return err
	}
	var lacking []int64
	var there piece // what is in the pieces in all
	for slot := range last + 1 {
		if p, ok := have[slot]; ok {
			there.brews, there.cells = there.brews+p.brews, there.cells+p.cells
		} else {
			lacking = append(lacking, slot)
		}
	}
	g.grow(there, len(have), len(have)+len(lacking))
	if len(have) > 0 {
		bad, err := g.read(tx)
		if err != nil {
			return err
		}
		lacking = append(lacking, bad...)
	}
	return g.make(tx, lacking, last)
}

// lastSlot returns the newest brew's, -1 where there is none.
func lastSlot(tx *sql.Tx) (int64, error) {
	var n sql.Null[int64]
	if err := tx.QueryRow("SELECT max(n) FROM brews").Scan(&n); err != nil || !n.Valid {
		return -1, err
	}
	return slotOf(n.V), nil
}

// have returns how much is in the pieces that are there, by their slots.
func (g *gathering) have(tx *sql.Tx) (map[int64]piece, error) {
	if !g.counting.cached() || g.journal.schema < piecesSince {
		return nil, nil
	}
	have := map[int64]piece{}
	_, err := gather(tx, func(s scanner) (p piece, err error) {
		err = s.Scan(&p.slot, &p.brews, &p.cells)
		have[p.slot] = p
		return p, err
	}, "SELECT slot, brews, cells FROM pieces WHERE recipe = ? AND kind = ?", g.counting.Recipe, g.counting.kind())
	return have, err
}

// grow makes room for all slots at once, given what is in some: a record of a
// million brews that had to move would take twice its memory. The other slots are
// taken to hold as much, and a little more.
func (g *gathering) grow(some piece, of, all int) {
	if of == 0 {
		return
	}
	rest := all - of
	more := func(n int) int { return n + rest*(n/of) + rest*(n/of)/16 + perSlot }
	g.out.Record.Grow(more(some.brews), more(some.cells))
}

// read takes the pieces that are there, and returns the slots of those that are
// damaged. While one is unpacked the next is read.
func (g *gathering) read(tx *sql.Tx) (damaged []int64, err error) {
	rows, err := tx.Query("SELECT slot, left_out, piece FROM pieces WHERE recipe = ? AND kind = ? ORDER BY slot", g.counting.Recipe, g.counting.kind())
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	pieces, done := make(chan piece, 4), make(chan struct{})
	go func() {
		defer close(done)
		for p := range pieces {
			if guarded(g.journal.path, func() error { return g.out.Record.Unpack(p.bytes) }) != nil {
				damaged = append(damaged, p.slot)
				continue
			}
			g.out.LeftOut += p.leftOut
		}
	}()
	for rows.Next() && err == nil {
		var p piece
		err = rows.Scan(&p.slot, &p.leftOut, &p.bytes)
		pieces <- p
	}
	close(pieces)
	<-done
	return damaged, cmp.Or(err, rows.Err())
}

// atOnce is how many pieces are folded before they are unpacked and kept.
const atOnce = 16

// make folds the brews of slots that have no piece, and keeps those pieces. That
// of the last slot, which every new brew changes, is not worth a write.
func (g *gathering) make(tx *sql.Tx, slots []int64, last int64) error {
	for part := range slices.Chunk(slots, atOnce) {
		pieces, err := g.fold(tx, part)
		if err != nil {
			return err
		}
		if g.out.Record.Len() == 0 {
			var first piece
			for _, p := range pieces {
				first.brews, first.cells = first.brews+p.brews, first.cells+p.cells
			}
			g.grow(first, len(pieces), len(slots))
		}
		for _, p := range pieces {
			if err := g.out.Record.Unpack(p.bytes); err != nil {
				return err
			}
			g.out.LeftOut += p.leftOut
		}
		g.keep.put(g.ctx, slices.DeleteFunc(pieces, func(p piece) bool { return p.slot == last }))
	}
	return nil
}

// fold makes pieces, two at a time.
func (g *gathering) fold(tx *sql.Tx, slots []int64) ([]piece, error) {
	pieces := make([]piece, len(slots))
	half := func(tx *sql.Tx, first int) (err error) {
		from := newReader(tx)
		for i := first; i < len(slots) && err == nil; i += 2 {
			pieces[i], err = makePiece(from, g.counting, slots[i])
		}
		return err
	}
	if len(slots) == 1 {
		return pieces, half(tx, 0)
	}
	var other error
	var both sync.WaitGroup
	both.Go(func() {
		other = guarded(g.journal.path, func() error {
			return g.journal.view(g.ctx, func(tx *sql.Tx) error { return half(tx, 1) })
		})
	})
	err := half(tx, 0)
	both.Wait()
	return pieces, cmp.Or(err, other)
}

// open takes the brews that have no end and are not under way: they were cut
// off.
func (g *gathering) open(tx *sql.Tx) error {
	where, args := g.counting.where()
	f := folding{from: newReader(tx), record: g.out.Record}
	err := f.add(where+" AND b.ended IS NULL", args, g.journal.live)
	g.out.LeftOut += f.leftOut
	return err
}

// forgotten takes in what stays of brews that were forgotten, which attempts
// count. These are of the usual brews.
func (g *gathering) forgotten() error {
	if !g.counting.cached() || g.counting.kind() != drift.Service {
		return nil
	}
	all, err := g.journal.Forgotten(g.ctx, g.counting.Recipe)
	for _, f := range all {
		g.out.Record.Forgot(drift.Forgotten{Person: f.Person, Version: f.Version, Start: f.Start})
	}
	return err
}

// Recipes returns the names of the recipes that were brewed, each once however
// it was spelt (drift.Same), in the order of the alphabet. It goes from one to the next, however
// many brews there are of each.
func (j *Journal) Recipes(ctx context.Context) (names []string, err error) {
	err = j.view(ctx, func(tx *sql.Tx) error {
		name, more := "", true
		for err == nil {
			err = tx.QueryRow("SELECT recipe FROM brews INDEXED BY brews_by_recipe WHERE recipe > ? COLLATE NOCASE "+
				"ORDER BY recipe COLLATE NOCASE, start_ns DESC LIMIT 1", name).Scan(&name)
			known := slices.ContainsFunc(names, func(n string) bool { return drift.Same(n, name) })
			if more = err == nil; more && !known {
				names = append(names, name)
			}
		}
		if errors.Is(err, sql.ErrNoRows) {
			return nil
		}
		return err
	})
	return names, err
}
