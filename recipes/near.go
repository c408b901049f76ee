package recipes

import (
	"strings"
	"unicode/utf8"
)

// near returns the name closest to what was written, "" where none is close
// enough to be meant: at most one slip of the pen in three characters, and
// three in all.
func near(written string, names []string) string {
	best, least := "", 4
	written = strings.ToLower(strings.TrimSpace(written))
	for _, name := range names {
		if d := utf8.RuneCountInString(name) - utf8.RuneCountInString(written); d < -3 || d > 3 {
			continue
		}
		n := slips(written, strings.ToLower(name))
		if n < least && 3*n <= max(utf8.RuneCountInString(written), utf8.RuneCountInString(name)) {
			best, least = name, n
		}
	}
	return best
}

// didYouMean returns a hint with the closest name, or the given other hint.
func didYouMean(written string, names []string, other string) string {
	if n := near(written, names); n != "" {
		return "did you mean " + n + "?"
	}
	return other
}

// parts returns a hint with the names of which what was written is a part,
// "" where there is none.
func parts(written string, names []string) string {
	var whole []string
	for _, name := range names {
		if len(written) > 3 && strings.Contains(name, strings.ToLower(written)) {
			whole = append(whole, name)
		}
	}
	if len(whole) == 0 {
		return ""
	}
	return "did you mean " + list(whole, "or") + "?"
}

// slips returns how many slips of the pen part two words: a character added,
// left out, changed, or swapped with its neighbour (Damerau 1964, in the form
// that edits no character twice).
func slips(a, b string) int {
	x, y := []rune(a), []rune(b)
	rows := make([][]int, len(x)+1)
	for i := range rows {
		rows[i] = make([]int, len(y)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(x); i++ {
		for j := 1; j <= len(y); j++ {
			change := 1
			if x[i-1] == y[j-1] {
				change = 0
			}
			rows[i][j] = min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+change)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return rows[len(x)][len(y)]
}

// list returns words as a sentence has them: "g, kg or oz".
func list(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	n := len(words) - 1
	return strings.Join(words[:n], ", ") + " " + last + " " + words[n]
}
