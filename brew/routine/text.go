package routine

import (
	"time"
	"unicode"

	"barline/brew"
)

func spoken(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }

func clock(d time.Duration) string { return brew.Exact(d) }
