package tui

import (
	"bytes"
	"errors"
	"io"
	"os"
	"regexp"
	"sync/atomic"
	"syscall"
	"time"
	"unicode/utf8"
)

// keyboard is the terminal's input. When it ends the program must too: the
// terminal library would wait for ever.
type keyboard struct {
	*os.File
	ended   func()
	answers answers
	pasting bool        // in the middle of a paste
	latest  time.Time   // when something was read
	anew    atomic.Bool // the library reads anew, and has forgotten what it had of one
}

func (t *Terminal) input() *keyboard {
	ended := func() {
		if t.gone != nil {
			t.gone()
		}
	}
	t.keys = &keyboard{File: t.in, ended: ended, answers: answers{sync: func() { t.synced.Store(true) }, heard: t.answered}}
	return t.keys
}

// Read passes on what is typed, and tells when no more can come.
func (k *keyboard) Read(b []byte) (int, error) {
	// What an answer kept back is read before must fit as well, and the
	// beginning of a paste.
	n, err := k.whole(b[:max(len(b)-len(answerStart)-2-max(len(pasteBegin), len(pasteEnd)), 2)])
	if err == io.EOF || errors.Is(err, syscall.EIO) {
		k.ended()
	}
	return copy(b, k.paste(k.answers.sift(b[:n]))), err
}

// A paste is what comes between these, where the terminal brackets it.
const (
	pasteBegin = "\x1b[200~"
	pasteEnd   = "\x1b[201~"
)

// paste sees to it that the library knows a paste for one: behind a lone
// escape it would not, and not where it was stopped in the middle of it.
func (k *keyboard) paste(typed []byte) []byte {
	typed = bytes.ReplaceAll(typed, []byte("\x1b"+pasteBegin), []byte(pasteBegin))
	if k.pasting && time.Since(k.latest) > pasteWithin {
		k.pasting, typed = false, append([]byte(pasteEnd), typed...)
	}
	k.latest = time.Now()
	if k.anew.Swap(false) && k.pasting {
		typed = append([]byte(pasteBegin), typed...)
	}
	begin, end := bytes.LastIndex(typed, []byte(pasteBegin)), bytes.LastIndex(typed, []byte(pasteEnd))
	if begin != end { // one of them is there
		k.pasting = begin > end
	}
	return typed
}

// pieceWithin is how soon the rest of a key must come when it comes in pieces.
// A lone escape waits so long to be one, which nobody feels.
const pieceWithin = 50 * time.Millisecond

// pasteWithin is how soon more of a paste must come, or its end: one that is
// never ended would hold the keyboard for good.
const pasteWithin = 2 * time.Second

// whole reads some bytes, and the rest of the key in whose middle they end:
// the library would take a piece of a key for other keys, and the beginning of
// a paste for typing.
func (k *keyboard) whole(b []byte) (int, error) {
	n, err := k.File.Read(b[:len(b)/2])
	for err == nil && n < len(b) && endsInside(b[:n]) && comes(k.File, pieceWithin) {
		var more int
		more, err = k.File.Read(b[n:])
		n += more
	}
	if n > 0 {
		err = nil // it is told again when it is asked for more
	}
	return n, err
}

// inside is the beginning of a key's code, as ECMA-48 (1991, 5.4) has control
// sequences, with the forms of single shifts and of the Linux console.
var inside = regexp.MustCompile(`\x1b(O|\[\[?[0-?]*[ -/]*)?$`)

// endsInside reports whether bytes end in the middle of a key's code or of a
// character.
func endsInside(b []byte) bool {
	last := len(b) - 1
	for last > 0 && len(b)-last < utf8.UTFMax && !utf8.RuneStart(b[last]) {
		last--
	}
	return len(b) > 0 && (!utf8.FullRune(b[last:]) || inside.Match(b))
}
