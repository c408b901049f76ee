package tui_test

import (
	"strings"
	"testing"

	"barline/tui"
)

func TestAnswersAreTakenOutOfWhatIsTyped(t *testing.T) {
	for name, c := range map[string]struct {
		reads  []string
		typed  string
		synced bool
	}{
		"keys alone pass":                       {[]string{"u", " ", "\x1b[A"}, "u \x1b[A", false},
		"an answer that it is known":            {[]string{"\x1b[?2026;2$y"}, "", true},
		"an answer that it is set":              {[]string{"\x1b[?2026;1$y"}, "", true},
		"an answer that it is not known":        {[]string{"\x1b[?2026;0$y"}, "", false},
		"an answer that it can never be set":    {[]string{"\x1b[?2026;4$y"}, "", false},
		"an answer between keys":                {[]string{"a\x1b[?2026;2$yb"}, "ab", true},
		"an answer in two reads":                {[]string{"a\x1b[?20", "26;2$yb"}, "ab", true},
		"an answer byte by byte behind the [?":  {[]string{"\x1b[?", "2", "0", "2", "6", ";", "2", "$", "y", "q"}, "q", true},
		"a lone escape is a key and not waited": {[]string{"\x1b"}, "\x1b", false},
		"an arrow split in two is let through":  {[]string{"\x1b[", "A"}, "\x1b[A", false},
		"what only looks like an answer passes": {[]string{"\x1b[?2026;", "x"}, "\x1b[?2026;x", false},
	} {
		t.Run(name, func(t *testing.T) {
			synced := false
			sift := tui.Sift(func() { synced = true })
			var typed strings.Builder
			for _, read := range c.reads {
				typed.Write(sift([]byte(read)))
			}
			if typed.String() != c.typed || synced != c.synced {
				t.Errorf("typed %q, synced %t; want %q, %t", typed.String(), synced, c.typed, c.synced)
			}
		})
	}
}
