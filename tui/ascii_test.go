//go:build unix

package tui_test

import (
	"bytes"
	"io"
	"os"
	"strings"
	"syscall"
	"testing"

	"barline/tui"
	"barline/tui/draw"
)

// Each cell of a text has something of ASCII for it, so that nothing moves.
func TestATextForATerminalOfASCII(t *testing.T) {
	for text, want := range map[string]string{
		"93 °C":             "93  C",
		"1.35 ± 0.03 %":     "1.35 ~ 0.03 %",
		"Zoë, Ångström":     "Zoe, Angstrom",
		"2× ½ … →":          "2x ? ? ?",
		"珈琲 ok":             "???? ok",
		"\x1b[1mbold\x1b[m": "\x1b[1mbold\x1b[m",
		"a\r\n\x1b[K~":      "a\r\n\x1b[K~",
	} {
		got := tui.AsASCII(text)
		if got != want || draw.Width(got) != draw.Width(text) {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
	for r := rune(0x80); r < 0x3000; r++ {
		got := tui.AsASCII(string(r))
		if len(got) != draw.Width(string(r)) || strings.IndexFunc(got, func(r rune) bool { return r < ' ' || r > '~' }) >= 0 {
			t.Fatalf("%U becomes %q, of %d cells", r, got, draw.Width(string(r)))
		}
	}
}

// What the terminal is given goes out in one write, with what goes around it:
// over a socket that keeps writes apart it is one message.
func TestAFrameGoesOutInOneWrite(t *testing.T) {
	ends, err := syscall.Socketpair(syscall.AF_UNIX, syscall.SOCK_SEQPACKET, 0)
	if err != nil {
		t.Skip("SKIPPED: no socket that keeps writes apart:", err)
	}
	ours, theirs := os.NewFile(uintptr(ends[0]), "ours"), os.NewFile(uintptr(ends[1]), "theirs")
	defer ours.Close()
	terminal := tui.NewTerminal(theirs)
	terminal.Ask("xterm")
	read := func() string {
		b := make([]byte, 1<<17)
		n, err := ours.Read(b)
		if err != nil && err != io.EOF {
			t.Fatal(err)
		}
		return string(b[:n])
	}
	frame := strings.Repeat("█ °C ", 8000)
	for _, c := range []struct {
		before func()
		want   string
	}{
		{func() {}, frame + "\x1b[?2026$p"},
		{func() {}, frame},
		{terminal.Know, "\x1b[?2026h" + frame + "\x1b[?2026l"},
	} {
		c.before()
		n, err := terminal.Write([]byte(frame))
		if got := read(); got != c.want || n != len(frame) || err != nil {
			t.Errorf("%d bytes written of %d, %v; in one message came %d, want %d", n, len(frame), err, len(got), len(c.want))
		}
	}
	if n, err := terminal.Write(nil); n != 0 || err != nil {
		t.Errorf("nothing: %d, %v", n, err)
	}
	theirs.Close()
	terminal.Write([]byte("x"))
	terminal.Drain()
	if n, err := terminal.Write(bytes.Repeat([]byte("x"), 3)); n != 0 || err == nil {
		t.Errorf("into a closed file: %d, %v", n, err)
	}
}
