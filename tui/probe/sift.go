package probe

import (
	"bytes"
	"regexp"
	"strconv"
)

// A cursor report, CPR of ECMA-48 and of the DEC VT series, is CSI row ; column
// R. With row 1 it has the form of F3 with a modifier, so that nothing is asked
// with the cursor in that row, and what says row 1 is a key.
var (
	report  = regexp.MustCompile(`^\x1b\[(\d{1,4});(\d{1,4})R`)
	begun   = regexp.MustCompile(`^\x1b(\[(\d{1,4}(;\d{0,4})?)?)?$`)
	certain = len("\x1b[") // from so many bytes on, more is to come: no key that is pressed alone ends so
)

// SiftRoom is how many bytes a sifter may keep back of what it has read: a
// reader's buffer must have room for them.
const SiftRoom = len("\x1b[9999;9999")

// sifter takes cursor reports out of what is read from a terminal. What may be
// the beginning of one is kept until the rest is there. A lone escape may also
// be a key: it is passed on, unless an answer is waited for, and remembered.
// The zero sifter has read nothing.
type sifter struct {
	part   []byte // the end of what was read, where it may begin a report
	passed int    // so many bytes of it have been passed on already
}

// sift returns what was typed of some bytes read, in a slice of its own, and
// calls at for each report.
func (s *sifter) sift(read []byte, waiting bool, at func(row, column int)) []byte {
	all, passed := append(bytes.Clone(s.part), read...), s.passed
	if s.droppedEscape(read) {
		all = all[1:]
	}
	s.part, s.passed = nil, 0
	typed := make([]byte, 0, len(all))
	for i := 0; i < len(all); {
		row, column, n := cursorReport(all[i:])
		switch {
		case n > 0:
			at(row, column)
			i, passed = i+n, 0
		case begun.Match(all[i:]):
			return s.keep(typed, all[i:], passed, waiting)
		case passed > 0: // it was passed on before
			passed--
			i++
		default:
			typed = append(typed, all[i])
			i++
		}
	}
	return typed
}

// droppedEscape reports whether an escape that was kept back turns out to be
// none of a sequence: before a key it would change that one's meaning.
func (s *sifter) droppedEscape(read []byte) bool {
	return string(s.part) == "\x1b" && s.passed == 0 && len(read) > 0 && read[0] != '[' && read[0] != 'O'
}

// keep keeps the beginning of a report back.
func (s *sifter) keep(typed, rest []byte, passed int, waiting bool) []byte {
	s.part, s.passed = bytes.Clone(rest), passed
	if !waiting && len(rest) < certain {
		typed = append(typed, rest[passed:]...)
		s.passed = len(rest)
	}
	return typed
}

// cursorReport returns the cursor's place where bytes begin with a report, and
// how long that is; 0 where they do not.
func cursorReport(b []byte) (row, column, n int) {
	m := report.FindSubmatch(b)
	if m == nil {
		return 0, 0, 0
	}
	row, _ = strconv.Atoi(string(m[1]))
	column, _ = strconv.Atoi(string(m[2]))
	if row == 1 {
		return 0, 0, 0
	}
	return row, column, len(m[0])
}
