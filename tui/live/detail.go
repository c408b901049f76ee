package live

import (
	"slices"
	"strings"
	"time"

	"barline/brew"
	"barline/tui/draw"
)

// details returns the rows that say what to do, by when and how much is left
// of it. What must be there is there whole; what is good to know goes where
// it does not fit. left is the countdown where it stands nowhere else; it
// takes a second row.
func (s scene) details(width, rows int, left string) []string {
	lane := s.page.name(s.lane)
	name, label, prompt := lead(lane), lead(s.label()), s.prompt()
	until, toGo, beside := s.until(), s.toGo(), s.beside()
	if rows < 2 {
		return []string{fitting(width,
			name+label+listed(prompt, until, toGo, beside),
			name+label+listed(prompt, until, toGo),
			name+listed(prompt, until, toGo),
			name+listed(prompt, until),
			listed(prompt, until),
			prompt)}
	}
	tail := fitting(width,
		name+listed(left, until, toGo, beside),
		name+listed(left, until, toGo),
		name+listed(left, until),
		listed(left, until),
		until)
	if listed(left, until, toGo, beside) == "" {
		tail = draw.Fit(lane, width)
	}
	if draw.Width(label+prompt) <= width {
		prompt = label + prompt
	}
	// On a screen too narrow for both, the seconds left stand for the time.
	if tail == "" || left == "" && len(draw.Wrap(prompt, width)) >= rows {
		return wrap(prompt, width, rows)
	}
	return append(wrap(prompt, width, rows-1), tail)
}

// fitting returns the first of the texts that fits, the last one cut off where
// none does.
func fitting(width int, texts ...string) string {
	for _, text := range texts {
		if draw.Width(text) <= width {
			return text
		}
	}
	return draw.Fit(texts[len(texts)-1], width)
}

// listed returns the texts that are not empty, with commas between.
func listed(texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(text string) bool { return text == "" }), ", ")
}

// nexts returns the rows that say what comes next and in how long.
func (s scene) nexts(width, rows int) (lines []string, role draw.Role) {
	cue, coming := s.coming()
	if !coming {
		return []string{draw.Fit("nothing after this", width)}, draw.Faint
	}
	word, role := "next", draw.Plain
	if s.next.in <= s.page.opt.Ahead {
		word, role = ">>>>", draw.Now
	}
	in := word + " in " + Countdown(s.next.in) + comma(s.page.name(s.next.lane))
	at := ", at " + s.calledAt()
	if rows < 2 {
		return []string{fitting(width, in+": "+cue.Prompt+at, in+": "+cue.Prompt, word+" in "+Countdown(s.next.in)+": "+cue.Prompt)}, role
	}
	return append([]string{fitting(width, in+at, in)}, wrap(cue.Prompt, width, rows-1)...), role
}

// calledAt is when the next cue is called.
func (s scene) calledAt() string {
	if s.counts() {
		return brew.Clock(s.page.opt.From)
	}
	start, _ := s.page.timeline.Lane(s.next.lane).Span(s.next.cue)
	return brew.Clock(s.page.own(s.next.lane, start))
}

// careAhead is how long before its cue a word of caution comes back.
const careAhead = 20 * time.Second

// care returns words of caution: those of the cue that is on, else those of a
// cue that is coming; else why the cue that is on is done so. ahead is that
// they are of a coming one.
func (s scene) care() (text string, role draw.Role, ahead bool) {
	cue, on := s.cue()
	if on && cue.Caution != "" {
		return cue.Caution, draw.Caution, false
	}
	if w := s.page.warned(s.at, careAhead); w.cue >= 0 && !s.counts() {
		coming := s.page.opt.Plans[w.lane].Cues[w.cue]
		return lead(s.page.name(w.lane)) + coming.Name + ": " + coming.Caution, draw.Caution, true
	}
	return cue.Why, draw.Faint, false
}

// wrap breaks a text into at most n lines of a width, the last one cut off if
// it must be.
func wrap(text string, width, n int) []string {
	lines := draw.Wrap(text, width)
	if len(lines) > n {
		rest := strings.Join(lines[max(n-1, 0):], " ")
		lines = append(lines[:max(n-1, 0)], draw.Fit(rest, width))[:max(n, 0)]
	}
	return lines
}
