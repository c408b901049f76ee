package probe

import (
	"bytes"
	"fmt"
	"io"
	"sync"
	"time"
)

// Patience is how long an answer is waited for.
const Patience = time.Second

// Asker asks a terminal for its cursor's place, and hears the answer among
// the keys. It stands between the program and the terminal: frames go out
// through Write, what is read comes through Sift. One question is under way
// at a time; each is asked from a place of its own, so that an answer which
// comes late is taken for no other's. It is safe for concurrent use.
type Asker struct {
	out io.Writer            // writes whole
	now func() time.Duration // the machine's elapsed time

	mu       sync.Mutex
	sifter   sifter
	question *Question // that is under way
}

// NewAsker returns what asks the terminal that out writes to; every Write of
// it must be whole.
func NewAsker(out io.Writer, now func() time.Duration) *Asker { return &Asker{out: out, now: now} }

// Question is one question to the terminal.
type Question struct {
	Due time.Duration // the moment from which on the answer is timed

	asker       *Asker
	row, column int        // the cursor is in row, and at column or up to reach behind it
	reach       int        // in columns
	behind      []byte     // the question goes out behind the frame that holds this
	sent        bool       // it has gone out
	answer      chan heard // of one place
}

// heard is an answer.
type heard struct {
	column int
	at     time.Duration
}

// Heard says what became of a question.
type Heard uint8

// An answer may stay out, and so may the frame that the question was to go
// out with.
const (
	Answered Heard = iota
	Silent         // no answer within Patience
	Unasked        // the frame never came
)

// The least screen on which anything is asked: the cursor must have a row for
// each kind of question, none of them the first, and columns to tell one
// question from the next.
const (
	LeastWidth  = 24
	LeastHeight = 5
)

// Fits reports whether a terminal of a size can be asked.
func Fits(width, height int) bool { return width >= LeastWidth && height >= LeastHeight }

// momentRow is where the cursor is put for the questions behind frames.
const momentRow = 2

// momentGap is the time from one moment to the next. It is no multiple of a
// frame's, so that the moments fall anywhere in one.
const momentGap = 137 * time.Millisecond

// Moment sleeps until the n-th moment, which comes a gap behind the one
// before, and has the terminal asked behind the next frame that holds a text.
// The width is the terminal's.
func (a *Asker) Moment(n int, before time.Duration, text string, width int) *Question {
	due := max(before+momentGap, a.now()+momentGap/2)
	time.Sleep(due - a.now())
	q := &Question{Due: due, asker: a, row: momentRow, column: 1 + n%width, behind: []byte(text), answer: make(chan heard, 1)}
	a.put(q)
	return q
}

// put makes a question the one that is under way.
func (a *Asker) put(q *Question) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.question = q
}

// Write writes a frame, and behind it the question that is to go out with it.
func (a *Asker) Write(frame []byte) (int, error) {
	a.mu.Lock()
	q, out := a.question, frame
	if q != nil && !q.sent && bytes.Contains(frame, q.behind) {
		q.sent = true
		out = append(bytes.Clone(frame), aside(q.row, q.column, "", 0)...)
	}
	a.mu.Unlock()
	n, err := a.out.Write(out)
	return min(n, len(frame)), err
}

// aside returns what puts the cursor into a place, writes a text there, asks
// where it is then, blanks some cells from that place on, and puts the cursor
// back. The codes are CUP and DSR of ECMA-48, DECSC and DECRC of the DEC VT
// series.
func aside(row, column int, text string, blanks int) []byte {
	place := fmt.Sprintf("\x1b[%d;%dH", row, column)
	out := "\x1b7" + place + text + "\x1b[6n"
	if blanks > 0 {
		out += place + fmt.Sprintf("%*s", blanks, "")
	}
	return []byte(out + "\x1b8")
}

// Sift returns what was typed of some bytes read from the terminal.
func (a *Asker) Sift(read []byte) []byte {
	a.mu.Lock()
	defer a.mu.Unlock()
	return a.sifter.sift(read, a.question != nil && a.question.sent, a.hear)
}

// Waiting reports whether a question has gone out and has no answer yet.
func (a *Asker) Waiting() bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	return a.question != nil && a.question.sent
}

// hear takes an answer, if it is the question's.
func (a *Asker) hear(row, column int) {
	q := a.question
	if q == nil || !q.sent || row != q.row || column < q.column || column > q.column+q.reach {
		return
	}
	q.answer <- heard{column, a.now()}
	a.question = nil
}

// Wait waits for the answer, and returns how long after the moment it came.
func (q *Question) Wait() (time.Duration, Heard) {
	h, how := q.wait()
	return h.at - q.Due, how
}

func (q *Question) wait() (heard, Heard) {
	patience := time.NewTimer(Patience)
	defer patience.Stop()
	select {
	case h := <-q.answer:
		return h, Answered
	case <-patience.C:
	}
	return q.giveUp()
}

// giveUp ends the question, unless its answer has come in that very moment.
func (q *Question) giveUp() (heard, Heard) {
	q.asker.mu.Lock()
	defer q.asker.mu.Unlock()
	if q.asker.question == q {
		q.asker.question = nil
	}
	select {
	case h := <-q.answer:
		return h, Answered
	default:
	}
	if q.sent {
		return heard{}, Silent
	}
	return heard{}, Unasked
}

// widthColumns is how many cells a sign may be thought to take at most.
const widthColumns = 8

// Widths asks how many cells each of the signs takes: it is written into the
// last row but one, the cursor's place is asked, and the row is blanked again,
// all in one write. It ends at the first question that gets no answer.
func (a *Asker) Widths(signs []rune, height int) Widths {
	w := Widths{How: Answered}
	for _, sign := range signs {
		const column = 1
		q := &Question{asker: a, row: height - 1, column: column, reach: widthColumns, sent: true, answer: make(chan heard, 1)}
		a.put(q)
		if _, err := a.out.Write(aside(q.row, q.column, string(sign), widthColumns)); err != nil {
			w.How = Silent
			return w
		}
		h, how := q.wait()
		if w.How = how; how != Answered {
			return w
		}
		w.Signs = append(w.Signs, Sign{sign, h.column - column})
	}
	return w
}
