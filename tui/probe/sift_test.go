package probe_test

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"barline/tui/probe"

	"pgregory.net/rapid"
)

// deaf returns an asker that waits for nothing.
func deaf() *probe.Asker { return probe.NewAsker(io.Discard, func() time.Duration { return 0 }) }

func TestReportsAreTakenOutOfWhatIsTyped(t *testing.T) {
	for name, c := range map[string]struct {
		reads []string
		typed string
	}{
		"keys alone pass":                                     {[]string{"u", " ", "\x1b[A", "é"}, "u \x1b[Aé"},
		"a report is no key":                                  {[]string{"\x1b[12;40R"}, ""},
		"a report between keys":                               {[]string{"a\x1b[12;40Rb"}, "ab"},
		"two reports in one read":                             {[]string{"\x1b[2;1R\x1b[2;2Rq"}, "q"},
		"a report in two reads":                               {[]string{"a\x1b[12;", "40Rb"}, "ab"},
		"a report byte by byte behind its first digit":        {[]string{"\x1b[2", ";", "4", "0", "R", "q"}, "q"},
		"what follows an escape that was passed is dropped":   {[]string{"\x1b", "[12;40R", "q"}, "\x1bq"},
		"but not the key behind it":                           {[]string{"\x1b", "[12;40Rq"}, "\x1bq"},
		"and so it is byte by byte":                           {[]string{"\x1b", "[", "1", "2", ";", "4", "0", "R", "q"}, "\x1bq"},
		"a lone escape is a key and not waited for":           {[]string{"\x1b"}, "\x1b"},
		"an escape and a letter later are two keys":           {[]string{"\x1b", "q"}, "\x1bq"},
		"alt and a letter pass":                               {[]string{"\x1bq"}, "\x1bq"},
		"an arrow split in two passes":                        {[]string{"\x1b[", "A"}, "\x1b[A"},
		"F3 with shift, which says row 1, is a key":           {[]string{"\x1b[1;2R"}, "\x1b[1;2R"},
		"F3 with ctrl and alt is one, too":                    {[]string{"\x1b[1;7R"}, "\x1b[1;7R"},
		"F3 with shift in two reads is a key":                 {[]string{"\x1b[1;", "2R"}, "\x1b[1;2R"},
		"an arrow with ctrl is a key":                         {[]string{"\x1b[1;5C"}, "\x1b[1;5C"},
		"page-down in two reads is a key":                     {[]string{"\x1b[6", "~"}, "\x1b[6~"},
		"F5 in two reads is a key":                            {[]string{"\x1b[15", "~"}, "\x1b[15~"},
		"a report of another kind passes":                     {[]string{"\x1b[?2026;2$y"}, "\x1b[?2026;2$y"},
		"what only begins like a report passes in the end":    {[]string{"\x1b[12;40", "x"}, "\x1b[12;40x"},
		"what only begins so and is passed in parts is whole": {[]string{"\x1b", "[", "12", "x"}, "\x1b[12x"},
		"a row of five digits is none":                        {[]string{"\x1b[12345;1R"}, "\x1b[12345;1R"},
		"an escape before a report is a key":                  {[]string{"\x1b\x1b[2;1R"}, "\x1b"},
		"nothing at all":                                      {[]string{""}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			a := deaf()
			var typed strings.Builder
			for _, read := range c.reads {
				typed.Write(a.Sift([]byte(read)))
			}
			if typed.String() != c.typed {
				t.Errorf("typed %q, want %q", typed.String(), c.typed)
			}
		})
	}
}

// While an answer is waited for, no piece of it is a key, and an escape that
// turns out to be a key does not change the next one's meaning.
func TestWhileAnAnswerIsWaitedForAnEscapeIsKeptBack(t *testing.T) {
	for name, c := range map[string]struct {
		reads []string
		typed string
	}{
		"a report byte by byte":               {strings.Split("\x1b[7;1R", ""), ""},
		"an arrow byte by byte":               {strings.Split("\x1b[A", ""), "\x1b[A"},
		"a single shift byte by byte":         {strings.Split("\x1bOR", ""), "\x1bOR"},
		"an escape, then a key":               {[]string{"\x1b", "q"}, "q"},
		"an escape twice, then a key":         {[]string{"\x1b", "\x1b", "q"}, "q"},
		"a report of another place, in parts": {[]string{"\x1b", "[99;1", "Rq"}, "q"},
	} {
		t.Run(name, func(t *testing.T) {
			a := deaf()
			q := a.Moment(0, -time.Hour, "moment", 80)
			a.Write([]byte("moment")) // asked now
			var typed strings.Builder
			for _, read := range c.reads {
				typed.Write(a.Sift([]byte(read)))
			}
			if typed.String() != c.typed {
				t.Errorf("typed %q, want %q", typed.String(), c.typed)
			}
			a.Sift([]byte("\x1b[2;1R"))
			if _, how := q.Wait(); how != probe.Answered {
				t.Error("the answer was not heard")
			}
		})
	}
}

// However a stream of keys and reports is cut into reads, the keys come out
// and nothing of a report does, but for an escape, which may have had to be let
// through.
func TestHoweverTheStreamIsCutTheKeysComeOut(t *testing.T) {
	key := rapid.SampledFrom([]string{"q", " ", "\r", "1", "7", ";", "R", "[", "\x1b[A", "\x1b[6~", "\x1b[15;2~", "\x1b[1;2R", "\x1b[1;5C", "\x1bOP", "\x1bx", "茶"})
	rapid.Check(t, func(t *rapid.T) {
		var stream, keys bytes.Buffer
		for range rapid.IntRange(1, 8).Draw(t, "pieces") {
			if rapid.Bool().Draw(t, "report") {
				fmt.Fprintf(&stream, "\x1b[%d;%dR", rapid.IntRange(2, 300).Draw(t, "row"), rapid.IntRange(1, 9999).Draw(t, "column"))
				continue
			}
			k := key.Draw(t, "key")
			stream.WriteString(k)
			keys.WriteString(k)
		}
		a := deaf()
		var typed bytes.Buffer
		for rest := stream.Bytes(); len(rest) > 0; {
			n := rapid.IntRange(1, len(rest)).Draw(t, "read")
			// What a read may be cut behind without a piece being let through.
			for n < len(rest) && rest[n-1] == 0x1b {
				n++
			}
			typed.Write(a.Sift(rest[:n]))
			rest = rest[n:]
		}
		if !bytes.Equal(typed.Bytes(), keys.Bytes()) {
			t.Fatalf("of %q came %q, want %q", stream.Bytes(), typed.Bytes(), keys.Bytes())
		}
	})
}

func FuzzSiftNeverBreaks(f *testing.F) {
	f.Add([]byte("\x1b[12;40R"), 3)
	f.Add([]byte("\x1b\x1b[1;2R\x1b[2"), 1)
	f.Fuzz(func(t *testing.T, stream []byte, n int) {
		n = max(n, 1)
		a, got := deaf(), 0
		for rest := stream; len(rest) > 0; {
			read := rest[:min(n, len(rest))]
			typed := a.Sift(read)
			if len(typed) > len(read)+probe.SiftRoom {
				t.Fatalf("%d bytes of %d and %d", len(typed), len(read), probe.SiftRoom)
			}
			got += len(typed)
			rest = rest[len(read):]
		}
		if got > len(stream) {
			t.Fatalf("%d bytes came of %d", got, len(stream))
		}
	})
}
