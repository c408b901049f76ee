package journal

import (
	"cmp"
	"errors"
	"strconv"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/drift"

	"github.com/google/uuid"
)

// folding takes many brews into a record, reading of each only what statistics
// need: one row, with its events in one text.
type folding struct {
	from    *reader
	record  *drift.Record
	leftOut int // brews that could not be read

	events []brew.Event // of the brew at hand
}

// eventsInOne is a brew's events: of each its number, its kind and its moment,
// then what only a few have.
const eventsInOne = `(SELECT group_concat(printf('%d%s%d', e.seq, e.kind, e.at_ns) ||
	iif(e.from_ns | e.cue | e.to_ns, ',' || e.from_ns || ',' || e.cue || ',' || e.to_ns, '') || ifnull('=' || e.weight_mg, ''), '/')
	FROM events e WHERE e.brew = b.n)`

// foldQuery reads brews in the order of their numbers.
const foldQuery = `SELECT b.n, b.id, b.person, b.start, b.start_ns, b.plan, b.ended IS NOT NULL, ifnull(` + eventsInOne + `, ''),
	EXISTS (SELECT 1 FROM weights WHERE brew = b.n) FROM brews b NOT INDEXED WHERE `

// folded is a row of that.
type folded struct {
	n, startNS, plan          int64
	id, person, start, events string
	ended, weighed            bool
}

// add takes the brews for which the conditions on rows b of brews hold. live
// says which of those without an end are under way.
func (f *folding) add(where string, args []any, live func(id string) bool) error {
	rows, err := gather(f.from.tx, func(s scanner) (r folded, err error) {
		err = s.Scan(&r.n, &r.id, &r.person, &r.start, &r.startNS, &r.plan, &r.ended, &r.events, &r.weighed)
		return r, err
	}, foldQuery+where+" ORDER BY b.n", args...)
	if err != nil {
		return err
	}
	for _, r := range rows {
		if !r.ended && live(r.id) {
			continue
		}
		if err := f.take(r); err != nil {
			if isFault(err) {
				return err
			}
			f.leftOut++
		}
	}
	return nil
}

// take folds one brew.
func (f *folding) take(r folded) error {
	plan, err := remembered(f.from.plans, r.plan, f.from.plan)
	if err != nil {
		return err
	}
	id, bad := uuid.Parse(r.id)
	start, worse := startOf(r.start, r.startNS)
	if f.events, err = readEvents(f.events[:0], r.events); err != nil || bad != nil || worse != nil {
		return cmp.Or(err, bad, worse)
	}
	lane, err := fold(plan, f.events)
	if err != nil {
		return err
	}
	var weighed drift.Weighed
	if r.weighed {
		if weighed, err = f.weighed(r.n); err != nil {
			return err
		}
	}
	f.record.TakeLane(id, start, r.person, lane, weighed)
	return nil
}

// weighed returns the weights that stand.
func (f *folding) weighed(n int64) (drift.Weighed, error) {
	all, err := weightsOf(f.from.tx, n)
	out := drift.Weighed{}
	for _, w := range CurrentWeights(all) {
		out[w.Beat] = *w.Mass
	}
	return out, err
}

// readEvents reads what eventsInOne gives. The error says where a number is
// missing.
func readEvents(to []brew.Event, text string) ([]brew.Event, error) {
	p := eventText{text: text}
	for len(p.text) > 0 && !p.bad {
		if p.number() != int64(len(to)) && !p.bad {
			return nil, errGap
		}
		e := brew.Event{Kind: p.kind(), At: time.Duration(p.number())}
		if p.skip(',') {
			e.From = time.Duration(p.number())
			e.Cue, e.To = int(p.next(',')), time.Duration(p.next(','))
		}
		if p.skip('=') {
			weight := brew.Mass(p.number())
			e.Weight = &weight
		}
		to = append(to, e)
		if len(p.text) > 0 && !p.skip('/') {
			p.bad = true
		}
	}
	if p.bad {
		return nil, errEvents
	}
	return to, nil
}

var errEvents = errors.New("its events cannot be read")

// eventText is read from its front.
type eventText struct {
	text string
	bad  bool
}

func (p *eventText) skip(c byte) bool {
	if len(p.text) == 0 || p.text[0] != c {
		return false
	}
	p.text = p.text[1:]
	return true
}

func (p *eventText) next(c byte) int64 {
	p.bad = !p.skip(c) || p.bad
	return p.number()
}

func (p *eventText) number() int64 {
	end := 0
	for end < len(p.text) && (p.text[end] >= '0' && p.text[end] <= '9' || end == 0 && p.text[0] == '-') {
		end++
	}
	n, err := strconv.ParseInt(p.text[:end], 10, 64)
	p.text, p.bad = p.text[end:], p.bad || err != nil
	return n
}

// kind reads up to the figure behind it. Those that are known are not made
// anew.
func (p *eventText) kind() brew.EventKind {
	end := strings.IndexAny(p.text, "-0123456789")
	if end < 0 {
		p.bad, end = true, 0
	}
	kind := brew.EventKind(p.text[:end])
	p.text = p.text[end:]
	return kind
}

// isFault reports whether an error is the file's, not one brew's.
func isFault(err error) bool {
	var f *Fault
	return errors.As(faultOf("", err), &f)
}
