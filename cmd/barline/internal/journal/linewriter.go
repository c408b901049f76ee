package journal

import (
	"bufio"
	"cmp"
	"database/sql"
	"encoding/json"
	"io"
)

// lineWriter writes lines, each plan and text once, above the first brew that
// names it.
type lineWriter struct {
	to      *bufio.Writer
	json    *json.Encoder
	err     error           // the first
	written map[string]bool // hashes and ids
}

func newLineWriter(w io.Writer) *lineWriter {
	to := bufio.NewWriter(w)
	out := &lineWriter{to: to, json: json.NewEncoder(to), written: map[string]bool{}}
	out.json.SetEscapeHTML(false)
	out.put(line{Head: &headLine{format, LineSchema}})
	return out
}

func (out *lineWriter) put(l line) {
	if out.err == nil {
		out.err = out.json.Encode(l)
	}
}

func (out *lineWriter) flush() error {
	if out.err != nil {
		return out.err
	}
	return out.to.Flush()
}

// first reports whether a hash or an id has not been written yet.
func (out *lineWriter) first(name string) bool {
	was := out.written[name]
	out.written[name] = true
	return !was
}

// parties writes the rounds and takes of the brews that pass the filter,
// oldest first; without one, all.
func (out *lineWriter) parties(tx *sql.Tx, f Filter) error {
	of := func(string) string { return "" }
	conditions, args, err := f.where(tx)
	if err != nil {
		return err
	}
	if f != (Filter{}) {
		of = func(column string) string {
			return "WHERE n IN (SELECT b." + column + " FROM brews b " + clause(conditions) + ") "
		}
	}
	rounds, err := roundsWhere(tx, of("round")+"ORDER BY start_ns, id", args...)
	if err != nil {
		return err
	}
	takes, err := takesWhere(tx, of("take")+"ORDER BY start_ns, id", args...)
	if err != nil {
		return err
	}
	for _, r := range rounds {
		out.round(r)
	}
	for _, t := range takes {
		out.take(t)
	}
	return out.err
}

// judgements writes the attempts and baselines, and what stays of forgotten
// brews that they count, oldest first. Of an older schema there is none.
func (out *lineWriter) judgements(tx *sql.Tx, schema int) error {
	attempts, err := attemptsWhere(tx, "ORDER BY opened_ns, id")
	if err != nil {
		return err
	}
	baselines, err := baselinesWhere(tx, "ORDER BY made_ns, id")
	if err != nil {
		return err
	}
	for _, a := range attempts {
		l := a.line()
		out.put(line{Attempt: &l})
	}
	for _, b := range baselines {
		l := b.line()
		out.put(line{Baseline: &l})
	}
	if schema < forgottenSince {
		return out.err
	}
	forgotten, err := forgottenWhere(tx, "ORDER BY start_ns, id")
	for _, f := range forgotten {
		l := f.line()
		out.put(line{Forgotten: &l})
	}
	return cmp.Or(err, out.err)
}

func (out *lineWriter) round(r Round) {
	if l := r.line(); out.first(r.ID) {
		out.put(line{Round: &l})
	}
}

func (out *lineWriter) take(t Take) {
	if l := t.line(); out.first(t.ID) {
		out.put(line{Take: &l})
	}
}

// record writes a brew with what it needs above it.
func (out *lineWriter) record(r Record) error {
	if r.RoundOf != nil {
		out.round(*r.RoundOf)
	}
	if r.TakeOf != nil {
		out.take(*r.TakeOf)
	}
	text, err := writePlan(r.Plan)
	if err != nil {
		return err
	}
	plan, file := hashOf(text), hashOf(r.Text)
	if out.first("plan " + plan) {
		out.put(line{Plan: &planLine{plan, PlanSchema, json.RawMessage(text)}})
	}
	if out.first("text " + file) {
		out.put(line{Text: &textLine{file, r.Text}})
	}
	l := r.line(plan, file)
	out.put(line{Brew: &l})
	return out.err
}

// Rescue writes the whole brew, saved or not, as lines that Import takes, also
// when those of several brews stand one after the other.
func (rec *Recorder) Rescue(w io.Writer) error {
	out := newLineWriter(w)
	if err := out.record(rec.Record()); err != nil {
		return err
	}
	return out.flush()
}
