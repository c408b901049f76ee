package tui

import (
	"bytes"
	"regexp"
)

// Synchronised output: between the two codes a terminal that knows them shows
// nothing half done. Whether it does is asked once, without waiting: the
// answer comes among the keys, and until then, or without one, frames go out
// as they are. The question is DECRQM of mode 2026, the answer DECRPM.
const (
	syncBegin = "\x1b[?2026h"
	syncEnd   = "\x1b[?2026l"
	syncAsk   = "\x1b[?2026$p"
)

// syncAnswer is what a terminal says that knows the question: 1 and 2 are
// that the mode is set or reset, so that it can be used.
var syncAnswer = regexp.MustCompile(`\x1b\[\?2026;([0-4])\$y`)

// askSync asks a terminal of a kind whether it knows synchronised output,
// behind the next frame. The plain console of Linux is spared: its older
// versions print part of the question.
func (t *Terminal) askSync(kind string) {
	if kind == "" || kind == "linux" || kind == "dumb" {
		return
	}
	ask := syncAsk
	t.question.Store(&ask)
}

// answers takes the terminal's answer out of what is read. An answer that has
// come in part is kept back until the rest is there.
type answers struct {
	part  []byte
	sync  func()
	heard func() // whatever the answer says
}

// sift returns what was typed of some bytes read.
func (a *answers) sift(read []byte) []byte {
	all := append(a.part, read...)
	a.part = nil
	if m := syncAnswer.FindSubmatchIndex(all); m != nil {
		if known := all[m[2]]; known == '1' || known == '2' {
			a.sync()
		}
		a.heard()
		all = append(all[:m[0]:m[0]], all[m[1]:]...)
	}
	if i := bytes.LastIndexByte(all, '\x1b'); i >= 0 && beginsAnswer(all[i:]) {
		a.part = bytes.Clone(all[i:])
		all = all[:i]
	}
	return all
}

// answerStart is what no key begins with, and every answer does.
const answerStart = "\x1b[?2026;"

// beginsAnswer reports whether bytes are the beginning of an answer and of
// nothing else.
func beginsAnswer(b []byte) bool {
	least := len("\x1b[?") // a lone escape, or escape and bracket, may be a key
	if len(b) < least || len(b) > len(answerStart)+2 {
		return false
	}
	n := min(len(b), len(answerStart))
	rest := b[n:] // the mode's state, and the dollar behind it
	return string(b[:n]) == answerStart[:n] &&
		(len(rest) < 1 || '0' <= rest[0] && rest[0] <= '4') && (len(rest) < 2 || rest[1] == '$')
}
