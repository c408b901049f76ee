package stage

import (
	"time"

	"barline/tui/draw"

	"github.com/charmbracelet/bubbles/key"
	"github.com/charmbracelet/bubbles/textinput"
)

// View is what stands on the screen at a moment. Empty texts are left out.
type View struct {
	Title   string        // what goes on
	Aside   string        // beside it: by whom, how fast
	Warning string        // what must be known before all else
	At      time.Duration // the moment; words of care too long for their rows turn by it

	Badge  string // in large figures before the clock: the key of the lane that is prompted
	Clock  string
	Alarm  bool   // the clock stands out, as a question that may end it is asked
	Amount string // how much, or how far: large

	Word string // the one large word
	On   bool   // it is something to do now
	Left string // how long it has: large

	Lane   string   // whose prompt it is
	Label  string   // what the cue is called
	Prompt string   // what to do
	Until  string   // by when
	Also   []string // what is good to know of it, the most important first

	Next  Next
	Below []Text // rows of the page's own
	Care  Care

	Picture draw.Picture

	Answer Cut  // to the latest key
	Fresh  bool // it is news
	Waits  Cut  // what waits for a mark
	Ask    *Ask // instead of the keys; nil for nothing
	Keys   []key.Binding
}

// Next is what comes next; without a prompt nothing does.
type Next struct {
	Prompt string
	Lane   string
	In     string // how long until then
	At     string // when, or how long it may wait
	Soon   bool   // it is being announced
	Quiet  bool   // nothing is said where nothing comes
}

// Care is words of caution, or why a thing is done so.
type Care struct {
	Text  string
	Role  draw.Role // Caution for words that must be read whole
	Ahead bool      // of a cue that is still to come
}

// Text is one row of text.
type Text struct {
	Text string
	Role draw.Role
}

// Cut is a text whose middle is cut where there is no room for all of it.
type Cut struct {
	Head, Middle, Tail string
	Role               draw.Role
}

// Empty reports whether there is no text.
func (c Cut) Empty() bool { return c.Head == "" && c.Middle == "" && c.Tail == "" }

// Fit returns the text in a width.
func (c Cut) Fit(width int) string {
	return draw.Fit(c.Head+draw.Fit(c.Middle, width-draw.Width(c.Head+c.Tail))+c.Tail, width)
}

// Ask is a question to the person: the first of its texts that fits stands in
// the last row of the screen, with the line that is being typed behind it.
type Ask struct {
	Texts []string
	Typed *textinput.Model // nil for a question that a key answers
}
