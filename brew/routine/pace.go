package routine

import (
	"strings"
	"time"

	"barline/brew"
	"barline/brew/bar"
)

// UsualPace is how many words a minute are said where a routine gives no pace:
// calm speech to an audience; common practice, no source.
const UsualPace = 130

// pace returns the routine's pace, in words a minute.
func (r Routine) pace() int {
	if r.Pace == 0 {
		return UsualPace
	}
	return r.Pace
}

// Words returns how many words a text has: what blanks part, and what has a
// letter or a figure in it.
func Words(text string) int {
	n := 0
	for _, w := range strings.Fields(text) {
		if strings.IndexFunc(w, spoken) >= 0 {
			n++
		}
	}
	return n
}

// Length returns how long a part takes: what is written, else its words at the
// routine's pace, rounded up to whole seconds.
func (r Routine) Length(p Part) time.Duration {
	if p.Over > 0 {
		return p.Over
	}
	seconds := (60*Words(p.Say) + r.pace() - 1) / r.pace()
	return time.Duration(max(seconds, 1)) * time.Second
}

// chores returns how long preparing a brew takes.
func chores(p *brew.Plan) time.Duration {
	var sum time.Duration
	for _, c := range p.Prepare {
		sum += choreLength(c)
	}
	return sum
}

// choreLength returns how long a chore is taken to last.
func choreLength(c brew.Chore) time.Duration {
	if c.Over > 0 {
		return c.Over
	}
	return bar.DefaultChore * time.Second
}
