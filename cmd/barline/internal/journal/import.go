package journal

import (
	"bufio"
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"barline/brew"
)

// LongestLine bounds a line, in bytes; a plan of a dozen cues has 8 KB.
const LongestLine = 16 << 20

// LineError says what is wrong with a line of a file.
type LineError struct {
	Line int // from 1
	Err  error
}

// Error names the line.
func (e *LineError) Error() string { return fmt.Sprintf("line %d: %v", e.Line, e.Err) }

// Unwrap returns what is wrong.
func (e *LineError) Unwrap() error { return e.Err }

// ReadError is why a file of lines cannot be read. It is no error of the
// journal, and hides the system's so that nobody takes it for one.
type ReadError struct{ Err error }

// Error says what the system said.
func (e *ReadError) Error() string { return e.Err.Error() }

// Imported says what an import found.
type Imported struct {
	Added int // brews, rounds, takes, attempts, baselines and traces that were not there
	Grown int // that were there, and have more now
	Known int // that were there, just so or with more
	Left  int // lines outside of the rescues that the file holds
}

// Import takes the lines that Export and Rescue write, or what was caught of a
// program's messages with such lines between RescueBegins and RescueEnds. It
// takes all of a file or nothing: the error is *LineError for the first line
// that is damaged or contradicts what the journal holds, *ReadError where the
// file cannot be read, and a *Fault where the journal cannot be written.
// Importing a file twice adds nothing. While it goes on nobody else can save.
func (j *Journal) Import(ctx context.Context, from io.Reader) (Imported, error) {
	in := newImporter()
	in.live = j.live
	err := j.update(ctx, func(tx *sql.Tx) (err error) {
		in.tx = tx
		in.done.Left, err = eachLine(from, in.line)
		return err
	})
	if err != nil {
		return Imported{}, err
	}
	return in.done, nil
}

// Examine returns what Import would find wrong with the lines by themselves,
// without a journal to take them in.
func Examine(from io.Reader) error {
	_, err := eachLine(from, newImporter().line)
	return err
}

// RescueBegins and RescueEnds are the lines around a rescue that stands among
// other messages, as on standard error.
const (
	RescueBegins = "# barline rescue begins"
	RescueEnds   = "# barline rescue ends"
)

// eachLine calls do with every line, without its end, and says of each first
// one of a file that it is. Where the text begins with something else than a
// line of the journal, only what stands between the two marks of a rescue is
// meant; left counts the others. The error names the line.
func eachLine(from io.Reader, do func(first bool, text []byte) error) (left int, err error) {
	lines := bufio.NewReaderSize(from, 1<<16)
	first, within, found := true, true, true
	var opening []byte // where it is no line of the journal
	for n := 1; ; n++ {
		text, err := readLine(lines)
		switch {
		case err == io.EOF && n == 1:
			return left, &LineError{n, errors.New("the file is empty")}
		case err == io.EOF && !found:
			return left, lineError(1, do(true, opening))
		case err == io.EOF && opening != nil && within:
			return left, &LineError{n, fmt.Errorf("the rescue breaks off, without %q", RescueEnds)}
		case err == io.EOF:
			return left, nil
		case err != nil:
			return left, lineError(n, err)
		case n == 1 && !bytes.HasPrefix(text, []byte("{")):
			opening, within, found = append([]byte{}, text...), false, false
		}
		switch {
		case opening != nil && string(text) == RescueBegins:
			first, within, found = true, true, true
		case opening != nil && within && string(text) == RescueEnds:
			within = false
		case !within:
			left++
		default:
			if err := do(first, text); err != nil {
				return left, lineError(n, err)
			}
			first = false
		}
	}
}

// lineError names the line, unless it is not to blame: the file of lines
// cannot be read, or the journal's file is at fault.
func lineError(n int, err error) error {
	var f *Fault
	var unread *ReadError
	if errors.As(err, &unread) || errors.As(faultOf("", err), &f) && f.Cause != Broken {
		return err
	}
	return &LineError{n, err}
}

// readLine returns the next line without its end, io.EOF behind the last one.
func readLine(from *bufio.Reader) ([]byte, error) {
	var out []byte
	for {
		part, err := from.ReadSlice('\n')
		out = append(out, part...)
		switch {
		case len(out) > LongestLine:
			return nil, fmt.Errorf("longer than %d MB", LongestLine>>20)
		case err == nil, err == io.EOF && len(out) > 0:
			return bytes.TrimSuffix(bytes.TrimSuffix(out, []byte("\n")), []byte("\r")), nil
		case err == io.EOF:
			return nil, err
		case err != bufio.ErrBufferFull:
			return nil, &ReadError{err}
		}
	}
}

// importer brings in one file. Plans, texts, rounds and takes are those that
// have stood in the lines so far.
type importer struct {
	tx     *sql.Tx // nil where the lines are only looked at
	live   func(id string) bool
	plans  map[string]*brew.Plan
	texts  map[string]string
	rounds map[string]Round
	takes  map[string]Take
	paces  paces
	done   Imported
}

func newImporter() *importer {
	return &importer{plans: map[string]*brew.Plan{}, texts: map[string]string{}, rounds: map[string]Round{}, takes: map[string]Take{},
		paces: paces{}}
}

func (in *importer) line(first bool, text []byte) error {
	l, err := readOne(text)
	if err != nil {
		return err
	}
	if first && l.Head == nil {
		return errors.New("no head: the first line of a journal's lines says so")
	}
	switch {
	case l.Head != nil:
		return l.Head.check()
	case l.Plan != nil:
		return in.plan(*l.Plan)
	case l.Text != nil:
		return in.text(*l.Text)
	case l.Brew != nil:
		return in.brew(*l.Brew)
	case l.Round != nil && l.Round.Events == nil, l.Take != nil && l.Take.Events == nil:
		return errNoList
	case l.Round != nil:
		return bring(in, "round "+l.Round.ID, *l.Round, roundLine.value, mergeRound, func(r Round) { r.Events = nil; in.rounds[r.ID] = r })
	case l.Take != nil:
		return bring(in, "take "+l.Take.ID, *l.Take, takeLine.value, mergeTake, func(t Take) { t.Events = nil; in.takes[t.ID] = t })
	case l.Attempt != nil:
		return bring(in, "attempt "+l.Attempt.ID, *l.Attempt, attemptLine.value, mergeAttempt, nil)
	case l.Forgotten != nil:
		return bring(in, "forgotten "+l.Forgotten.ID, *l.Forgotten, forgottenLine.value, mergeForgotten, nil)
	}
	return bring(in, "baseline "+l.Baseline.ID, *l.Baseline, baselineLine.value, mergeBaseline, nil)
}

// readOne reads one line and makes sure that it would be written just so: no
// field twice, none missing, no number that had to be rounded.
func readOne(text []byte) (line, error) {
	var l line
	switch {
	case len(bytes.TrimSpace(text)) == 0:
		return l, errors.New("the line is empty")
	case !utf8.Valid(text):
		return l, errors.New("not UTF-8")
	}
	if err := strictly(text, &l); err != nil {
		return l, inWords(err)
	}
	again, err := compact(l)
	if err != nil {
		return l, err
	}
	if n := differ(again, string(text)); n >= 0 {
		return l, fmt.Errorf("at byte %d %s, want %s", n, excerpt(string(text), n), excerpt(again, n))
	}
	if n := l.count(); n != 1 {
		return l, fmt.Errorf("%d things in the line, want one of head, plan, text, brew, round, take, attempt, baseline or forgotten", n)
	}
	return l, nil
}

func (l line) count() (n int) {
	for _, there := range []bool{l.Head != nil, l.Round != nil, l.Take != nil, l.Attempt != nil,
		l.Baseline != nil, l.Forgotten != nil, l.Plan != nil, l.Text != nil, l.Brew != nil} {
		if there {
			n++
		}
	}
	return n
}

// inWords says a decoder's error without the names of Go's types.
func inWords(err error) error {
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &kind):
		return fmt.Errorf("%s is a %s, want a %s", kind.Field, kind.Value, kindInWords(kind.Type.Kind().String()))
	case errors.Is(err, io.ErrUnexpectedEOF):
		return errors.New("the line breaks off")
	}
	return err
}

func kindInWords(kind string) string {
	switch kind {
	case "int", "int64":
		return "whole number"
	case "float64":
		return "number"
	case "struct", "map":
		return "object"
	case "slice":
		return "list"
	}
	return kind
}

// differ returns where two texts begin to differ, -1 where they do not.
func differ(a, b string) int {
	if a == b {
		return -1
	}
	return common(a, b)
}

func excerpt(text string, at int) string {
	if at >= len(text) {
		return "the end"
	}
	return fmt.Sprintf("%q", text[at:min(at+20, len(text))])
}

func (h headLine) check() error {
	switch {
	case h.Format != format:
		return fmt.Errorf("lines of %q, want %q", h.Format, format)
	case h.Schema > LineSchema:
		return fmt.Errorf("lines of schema %d, written by a newer barline; this one knows %d", h.Schema, LineSchema)
	case h.Schema < 1:
		return fmt.Errorf("lines of schema %d, want %d", h.Schema, LineSchema)
	}
	return nil
}

func (in *importer) plan(l planLine) error {
	text := string(l.Plan)
	if hashOf(text) != l.Hash {
		return fmt.Errorf("plan %q, but its content gives %q", l.Hash, hashOf(text))
	}
	p, err := readPlan(l.Schema, text)
	if err != nil {
		return err
	}
	again, err := writePlan(p)
	if err != nil {
		return err
	}
	if n := differ(again, text); n >= 0 {
		return fmt.Errorf("plan: at byte %d %s, want %s", n, excerpt(text, n), excerpt(again, n))
	}
	if err := in.paced(p); err != nil {
		return err
	}
	in.plans[l.Hash] = p
	return nil
}

// paced returns in what a plan contradicts those of its version, in the file
// and in the journal.
func (in *importer) paced(p *brew.Plan) error {
	if _, there := in.paces[p.Version]; !there && in.tx != nil {
		if err := in.paces.learn(in.tx, p.Version); err != nil {
			return err
		}
	}
	return in.paces.differs(p)
}

func (in *importer) text(l textLine) error {
	if hashOf(l.Text) != l.Hash {
		return fmt.Errorf("text %q, but its content gives %q", l.Hash, hashOf(l.Text))
	}
	in.texts[l.Hash] = l.Text
	return nil
}

func (in *importer) brew(l brewLine) error {
	p, there := in.plans[l.Plan]
	if !there {
		return fmt.Errorf("brew of plan %q, which does not stand above it", l.Plan)
	}
	text, there := in.texts[l.Text]
	if !there {
		return fmt.Errorf("brew of text %q, which does not stand above it", l.Text)
	}
	r, err := l.record(p, text)
	if err != nil {
		return err
	}
	if round, there := in.rounds[r.Round]; there {
		r.RoundOf = &round
	} else if r.Round != "" {
		return fmt.Errorf("brew of round %q, which does not stand above it", r.Round)
	}
	if take, there := in.takes[r.Take]; there {
		r.TakeOf = &take
	} else if r.Take != "" {
		return fmt.Errorf("brew of take %q, which does not stand above it", r.Take)
	}
	if in.tx == nil {
		return nil
	}
	what, err := mergeRecord(in.tx, r, in.live)
	in.count(what)
	return err
}

// bring brings in a thing that is no brew. The error names it where another is
// there in its place.
func bring[L, T any](in *importer, name string, l L, value func(L) (T, error), merge func(*sql.Tx, T) (change, error), remember func(T)) error {
	v, err := value(l)
	if err != nil {
		return err
	}
	if remember != nil {
		remember(v)
	}
	if in.tx == nil {
		return nil
	}
	what, err := merge(in.tx, v)
	in.count(what)
	if errors.Is(err, errOther) {
		err = fmt.Errorf("%s: %w", name, err)
	}
	return err
}

func (in *importer) count(what change) {
	switch what {
	case added:
		in.done.Added++
	case grown:
		in.done.Grown++
	case known:
		in.done.Known++
	}
}
