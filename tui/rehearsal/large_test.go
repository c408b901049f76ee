package rehearsal_test

import (
	"slices"
	"strings"
	"testing"

	"barline/brew/routine"
	"barline/tui/draw"
	"barline/tui/rehearsal"
)

// saying returns the short routine with other first words.
func saying(t testing.TB, words string) *routine.Plan {
	out := *plan(t, "short")
	out.Lines = slices.Clone(out.Lines)
	out.Lines[0].Words = words
	return &out
}

// Large letters show what they can spell; what they cannot stands plain, and
// is never left out.
func TestWhatLargeLettersCannotSpellStandsPlain(t *testing.T) {
	for words, large := range map[string]bool{
		"Good morning, and welcome!":                  true,
		"A clean cup: 3 of 4, at 93.5 %":              true,
		"Don't - or \u201cdo\u201d \u2014 stop\u2026": true,
		"na\u00efve":                     false,
		"\u00bfD\u00f3nde?":              false,
		"one cup & one spoon":            false,
		"it costs $5":                    false,
		"\u73c8\u7432\u3092\u6ce8\u3050": false,
		"\u0642\u0647\u0648\u0629":       false,
		"\u2615 is ready":                false,
	} {
		t.Run(words, func(t *testing.T) {
			s := seen(t, begun(t, 200, 60, rehearsal.Options{Plan: saying(t, words)}).wait(0.5).page)
			plain := slices.ContainsFunc(s.lines, func(row string) bool { return strings.HasPrefix(row, "| "+words) })
			if got := !plain; got != large {
				t.Errorf("large %v, want %v:\n%s", got, large, s.text())
			}
		})
	}
}

// An apostrophe parts no word, whichever it is.
func TestAnApostropheLeavesNoGap(t *testing.T) {
	draws := func(words string) []string {
		rows := seen(t, begun(t, 200, 60, rehearsal.Options{Plan: saying(t, words)}).wait(0.5).page).lines
		return slices.DeleteFunc(rows, func(row string) bool { return !strings.HasPrefix(row, "| ") })
	}
	want := draws("dont go")
	if len(want) == 0 {
		t.Fatal("nothing is said")
	}
	for _, words := range []string{"don't go", "don\u2019t go"} {
		if !slices.Equal(draws(words), want) {
			t.Errorf("%q is not drawn as one word", words)
		}
	}
}

// A word that is longer than the screen is wide goes on in the next row.
func TestALongWordIsWhole(t *testing.T) {
	for _, size := range usual {
		for line := range 2 {
			word := "begin" + strings.Repeat("ab", size.w*2/3) + "end\u00e9"
			plan := saying(t, "Well.")
			plan.Lines[line].Words = word
			at := 0.1
			if line == 1 { // it comes next: what is said now is short
				at = 7
			}
			p := begun(t, size.w, size.h, rehearsal.Options{Plan: plan}).wait(at)
			if joined := strings.ReplaceAll(strings.Join(seen(t, p.page).lines, ""), " ", ""); !strings.Contains(strings.ReplaceAll(joined, "|", ""), word) {
				t.Errorf("line %d at %s:\n%s", line, size, seen(t, p.page).text())
			}
		}
	}
}

// Where how things stand is too wide for large letters it stands plain, whole.
func TestHowThingsStandIsNeverCut(t *testing.T) {
	for w := 120; w <= 200; w += 8 {
		p := begun(t, w, 60, rehearsal.Options{Plan: plan(t, "short")})
		for _, at := range []float64{5, 25, 130, 163, 199, 260, 700} {
			s := seen(t, p.wait(at).page)
			for _, want := range p.page.Standing() {
				if !s.says(want) && !s.shows(want) {
					t.Errorf("%d wide, %g s: %q is cut:\n%s", w, at, want, s.text())
				}
			}
		}
	}
	if draw.FiguresWidth("0:13 over, 60 points +123.4 s behind", draw.Short) <= 120 {
		t.Error("nothing is too wide for the narrowest large screen")
	}
}
