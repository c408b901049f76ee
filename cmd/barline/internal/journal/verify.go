package journal

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"maps"
	"slices"
)

// Check is one of the things that Verify looks at.
type Check string

// The checks, in the order in which they are made.
const (
	CheckFile       Check = "file"       // SQLite's integrity check
	CheckLinks      Check = "links"      // every row's brew, plan, round and take are there
	CheckContent    Check = "content"    // a plan or a text is what its hash says
	CheckSequence   Check = "sequence"   // events are numbered without a gap from 0
	CheckPlan       Check = "plan"       // recipe and version are the stored plan's, and all of a version's are alike
	CheckFold       Check = "fold"       // every event follows from those before it
	CheckEnd        Check = "end"        // how the brew ended is what its events give
	CheckReadings   Check = "readings"   // corrections correct something that is there
	CheckCache      Check = "cache"      // the beats are what folding gives
	CheckPieces     Check = "pieces"     // what is kept for statistics is what folding gives
	CheckStart      Check = "start"      // the start is kept twice in the same way
	CheckUnreadable Check = "unreadable" // a brew cannot be read
)

// Finding is one thing that is wrong.
type Finding struct {
	Check  Check
	Brew   string // id; "" where it is no brew's
	Detail string
}

// String says it in one line.
func (f Finding) String() string {
	if f.Brew == "" {
		return fmt.Sprintf("%s: %s", f.Check, f.Detail)
	}
	return fmt.Sprintf("%s: brew %s: %s", f.Check, f.Brew, f.Detail)
}

// Verify looks at everything that the journal holds and returns what is wrong,
// and how many brews it has looked at. The error is why it could not look.
func (j *Journal) Verify(ctx context.Context) (findings []Finding, brews int, err error) {
	v := verifier{schema: j.schema}
	err = j.view(ctx, func(tx *sql.Tx) error {
		v.tx = tx
		for _, check := range []func() error{v.file, v.links, v.content, v.parties, v.brews, v.versions, v.pieces} {
			if err := v.damage(check()); err != nil {
				return err
			}
		}
		return nil
	})
	return v.findings, v.seen, err
}

type verifier struct {
	tx       *sql.Tx
	schema   int
	from     *reader
	findings []Finding
	seen     int
}

func (v *verifier) find(check Check, id, detail string, args ...any) {
	v.findings = append(v.findings, Finding{check, id, fmt.Sprintf(detail, args...)})
}

// damage makes a finding of what is wrong with the file itself, and lets pass
// why it could not be looked at.
func (v *verifier) damage(err error) error {
	var f *Fault
	switch {
	case err == nil:
		return nil
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded),
		errors.As(faultOf("", err), &f) && f.Cause != Damaged && f.Cause != Broken:
		return err
	}
	v.find(CheckFile, "", "%v", err)
	return nil
}

func (v *verifier) file() error {
	lines, err := gather(v.tx, scanText, "PRAGMA integrity_check")
	for _, text := range lines {
		if text != "ok" {
			v.find(CheckFile, "", "%s", text)
		}
	}
	return err
}

func scanText(s scanner) (text string, err error) {
	err = s.Scan(&text)
	return text, err
}

func (v *verifier) links() error {
	rows, err := gather(v.tx, scanText, `SELECT "table" || ' row ' || coalesce(rowid, '?') || ' has no ' || parent FROM pragma_foreign_key_check`)
	for _, text := range rows {
		v.find(CheckLinks, "", "%s", text)
	}
	return err
}

func (v *verifier) content() error {
	type content struct{ hash, text string }
	scan := func(s scanner) (c content, err error) {
		err = s.Scan(&c.hash, &c.text)
		return c, err
	}
	for _, table := range []struct{ name, column string }{{"plans", "json"}, {"texts", "text"}} {
		rows, err := gather(v.tx, scan, "SELECT hash, "+table.column+" FROM "+table.name)
		if err != nil {
			return err
		}
		for _, c := range rows {
			if hashOf(c.text) != c.hash {
				v.find(CheckContent, "", "one of %s is %q, but its content gives %q", table.name, c.hash, hashOf(c.text))
			}
		}
	}
	return nil
}

// parties reads the rounds and takes, which finds gaps among their events.
func (v *verifier) parties() error {
	for _, o := range []owner{ofRound, ofTake} {
		gaps, err := gather(v.tx, scanText, "SELECT t.id FROM "+o.events+" e JOIN "+o.table+" t ON t.n = e."+o.column+
			" GROUP BY e."+o.column+" HAVING max(e.seq) <> count(*) - 1")
		if err != nil {
			return err
		}
		for _, id := range gaps {
			v.find(CheckSequence, "", "%s %s lacks an event", o.column, id)
		}
	}
	return nil
}

func (v *verifier) brews() error {
	v.from = newReader(v.tx)
	ids, err := gather(v.tx, scanText, "SELECT id FROM brews ORDER BY n")
	if err != nil {
		return err
	}
	for _, id := range ids {
		if err := v.brew(id); err != nil {
			return err
		}
	}
	return nil
}

// versions compares the plans of each version with one another.
func (v *verifier) versions() error {
	all := paces{}
	for _, n := range slices.Sorted(maps.Keys(v.from.plans)) {
		if err := all.differs(v.from.plans[n]); err != nil {
			v.find(CheckPlan, "", "%v", err)
		}
	}
	return nil
}

func (v *verifier) brew(id string) error {
	v.seen++
	b, err := brewByID(v.tx, id)
	if err != nil {
		v.find(CheckUnreadable, id, "%v", err)
		return nil
	}
	r, err := v.from.record(b)
	if errors.Is(err, errGap) {
		v.find(CheckSequence, id, "%v", err)
		return nil
	}
	if err != nil {
		v.find(CheckUnreadable, id, "%v", err)
		return nil
	}
	v.record(r)
	if b.startErr != nil {
		v.find(CheckStart, id, "%v", b.startErr)
	}
	return v.cache(b, r)
}

func (v *verifier) record(r Record) {
	if r.Recipe != r.Plan.Name || r.Version != r.Plan.Version {
		v.find(CheckPlan, r.ID, "%q %s, but its plan is of %q %s", r.Recipe, r.Version, r.Plan.Name, r.Plan.Version)
	}
	if err := r.Brew.check(); err != nil {
		v.find(CheckUnreadable, r.ID, "%v", err)
	}
	lane, err := r.Fold()
	if err != nil {
		v.find(CheckFold, r.ID, "%v", err)
		return
	}
	if end, at, why := ended(lane); end != r.End || at != r.EndAt || why != r.Why {
		v.find(CheckEnd, r.ID, "end %s, but its events give %s", tellEnd(r.End, r.EndAt, r.Why), tellEnd(end, at, why))
	}
	if err := checkChain(r.Readings, Reading.chain); err != nil {
		v.find(CheckReadings, r.ID, "reading %v", err)
	}
	if err := checkChain(r.Weights, Weight.chain); err != nil {
		v.find(CheckReadings, r.ID, "weight %v", err)
	}
}

// cache compares the stored beats with a rebuild. A brew without an end has
// none.
func (v *verifier) cache(b row, r Record) error {
	stored, err := gather(v.tx, scanBeat, "SELECT beat, key, owner, asked, status, early_ns, late_ns, written_ns, called_ns, marked_ns, weight_mg "+
		"FROM beats WHERE brew = ? ORDER BY beat", b.n)
	if err != nil {
		return err
	}
	var want []Beat
	if lane, err := r.Fold(); err == nil && r.End != "" {
		want = beatsOf(lane)
	}
	if len(stored) != len(want) {
		v.find(CheckCache, r.ID, "%d beats, folding gives %d", len(stored), len(want))
		return nil
	}
	for n := range want {
		if settled(stored[n], want[n]) != nil {
			v.find(CheckCache, r.ID, "beat %d, %s, is not what folding gives", n, want[n].Key)
		}
	}
	return nil
}

func scanBeat(s scanner) (b Beat, err error) {
	err = s.Scan(&b.Beat, &b.Key, &b.Owner, &b.Asked, &b.Status, &b.Window.Early, &b.Window.Late,
		&b.Written, &b.Called, &b.Marked, &b.Weight)
	return b, err
}

// pieces compares what is kept for statistics with what folding gives, byte by
// byte.
func (v *verifier) pieces() error {
	if v.schema < piecesSince {
		return nil
	}
	all, err := keptPieces(v.tx)
	if err != nil {
		return err
	}
	for _, k := range all {
		is, err := readPiece(v.tx, k)
		if err != nil {
			return err
		}
		want, err := makePiece(v.from, k.counting, k.slot)
		if err != nil {
			return err
		}
		if !is.same(want) {
			v.find(CheckPieces, "", "of %s %q, numbers %d to %d, is not what folding gives", k.counting.kind(), k.counting.Recipe, k.slot*perSlot, (k.slot+1)*perSlot-1)
		}
	}
	return nil
}

// Rebuild makes the indices and the caches anew from the rows, for a file in
// which Verify found them wrong or that was written by an older fold.
func (j *Journal) Rebuild(ctx context.Context) error {
	err := j.updateUnseen(ctx, func(tx *sql.Tx) error {
		if _, err := tx.Exec("REINDEX"); err != nil {
			return err
		}
		pieces, err := keptPieces(tx)
		if err != nil {
			return err
		}
		ids, err := gather(tx, scanText, "SELECT id FROM brews ORDER BY n")
		if err != nil {
			return err
		}
		from := newReader(tx)
		for _, id := range ids {
			b, err := brewByID(tx, id)
			if err != nil {
				return err
			}
			r, err := from.record(b)
			if err != nil {
				return err
			}
			lane, err := r.Fold()
			if err != nil {
				return of(b, err)
			}
			if err := putEnd(tx, b.n, lane); err != nil {
				return err
			}
		}
		return remakePieces(from, pieces)
	})
	j.looking.Lock()
	j.looked = false
	j.looking.Unlock()
	return err
}
