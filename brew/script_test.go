package brew_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"barline/brew"
)

// script reads events as a person tells them: 'start 0, mark 8.5, zero again
// 9'. A number is the moment on the timeline's clock in seconds. Behind it
// stand 'from 30' of a start, 'cue 3 to 40' of a move.
func script(t testing.TB, text string) []brew.Event {
	t.Helper()
	var events []brew.Event
	for _, line := range strings.Split(text, ", ") {
		words := strings.Fields(line)
		n := 1
		if strings.HasPrefix(line, string(brew.EventZero)) {
			n = 2
		}
		e := happens(brew.EventKind(strings.Join(words[:n], " ")), number(t, words[n]))
		for i := n + 1; i+1 < len(words); i += 2 {
			switch value := number(t, words[i+1]); words[i] {
			case "from":
				e.From = sec(value)
			case "to":
				e.To = sec(value)
			case "cue":
				e.Cue = int(value)
			default:
				t.Fatalf("what is %q in %q", words[i], line)
			}
		}
		events = append(events, e)
	}
	return events
}

func number(t testing.TB, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// spans writes when each cue is on, in seconds: '0-20 20-80', ! for skipped.
func spans(l brew.Lane) string {
	var out []string
	for i := range l.Plan().Cues {
		start, end := l.Span(i)
		text := fmt.Sprintf("%g-%g", start.Seconds(), end.Seconds())
		if l.Skipped(i) {
			text += "!"
		}
		out = append(out, text)
	}
	return strings.Join(out, " ")
}

// tally writes the asked beats: when each was called, then '=' and its mark,
// '?' where it waits, '-' where it was left unmarked, '!' where it was
// skipped, '.' where it lies before the start.
func tally(l brew.Lane) string {
	var out []string
	for n, b := range l.Plan().Beats {
		if !b.Asked {
			continue
		}
		state := l.Beat(n)
		text := fmt.Sprintf("%g", state.Called.Seconds())
		switch state.Status {
		case brew.Marked:
			text += fmt.Sprintf("=%g", state.Marked.Seconds())
		case brew.Waiting:
			text += "?"
		case brew.Unmarked:
			text += "-"
		case brew.Skipped:
			text += "!"
		case brew.Passed:
			text += "."
		}
		out = append(out, text)
	}
	return strings.Join(out, " ")
}
