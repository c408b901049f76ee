// Package plain calls a brew as lines of text, for a screen reader, a pipe or
// a log: everything that the live page shows is said, and a line of input is
// what a key is there.
package plain

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"time"

	"barline/brew"
	"barline/tui/live"
)

// Result is what came of a brew.
type Result struct {
	Lane    brew.Lane
	Reading brew.Reading
	Unsaved error // why some of it is not in the record; nil where all is
}

// Run calls the brew of the options' first plan and returns when it is over
// and its readings are taken. An empty line of input is a mark; Help lists
// the others. Where the input ends, the clock runs on.
func Run(in io.Reader, out io.Writer, opt live.Options) Result {
	if opt.Speed == 0 {
		opt.Speed = 1
	}
	done := make(chan struct{})
	defer close(done)
	c := &caller{
		opt: opt, out: out, lane: brew.NewLane(opt.Plans[0]), lines: read(in, done),
		pace: live.Pace{Speed: opt.Speed}, answers: make(chan answer),
	}
	c.announce()
	if c.await() && c.countIn() {
		c.brew()
		c.debrief()
		c.measure()
	}
	return c.result()
}

// Help says what a line of input means.
const Help = "an empty line marks, u takes back, s skips, f finishes, e moves the last mark 1 s earlier, z starts the clock again, n TEXT notes, q stops"

// caller is one brew in the making.
type caller struct {
	opt   live.Options
	out   io.Writer
	lane  brew.Lane
	lines <-chan string // closed when the input ends, nil when that is known
	pace  live.Pace     // of the timeline's clock
	said  []telling     // what has been said of each cue

	events  int
	latest  brew.Event    // of them
	asked   time.Duration // when the recorder was last asked again, on the machine's clock
	answers chan answer   // of the recorder
	awaited int           // answers that it still owes
	kept    live.Kept
	reading brew.Reading
	unread  error // why the reading is not in the record
}

// answer is the recorder's for one event.
type answer struct {
	n   int
	err error
}

// read passes on the lines of the input as they come, until done is closed.
func read(in io.Reader, done <-chan struct{}) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for s := bufio.NewScanner(in); s.Scan(); {
			select {
			case lines <- s.Text():
			case <-done:
				return
			}
		}
	}()
	return lines
}

func (c *caller) say(format string, args ...any) { fmt.Fprintf(c.out, format+"\n", args...) }

// await waits for the line that says that water meets coffee; false is that
// the person left instead. Without input the clock starts at once.
func (c *caller) await() bool {
	first := c.lane.Plan().Cues[0].Prompt
	if c.opt.From > 0 {
		c.say("an empty line starts the clock at %s, q leaves", brew.Clock(c.opt.From))
	} else {
		c.say("an empty line starts the clock as water meets coffee, q leaves: %s", first)
	}
	for line := range c.lines {
		switch word, _ := parted(line); word {
		case "":
			return true
		case "q":
			return false
		}
		c.say("%q is not known here: an empty line starts the clock, q leaves", line)
	}
	c.lines = nil
	return true
}

// countIn waits until the clock starts; false is that the person left
// instead.
func (c *caller) countIn() bool {
	c.pace.Zero = c.opt.Now() + c.opt.CountIn
	if c.opt.CountIn > 0 {
		c.say("counting in %s, q leaves", brew.Spoken(c.opt.CountIn))
	}
	for c.opt.Now() < c.pace.Zero {
		line, came := c.wait(c.pace.Zero)
		if word, _ := parted(line); came && word == "q" {
			return false
		}
		if came {
			c.say("%q is not known here: q leaves", line)
		}
	}
	return true
}

// wait returns the next line of input, or none when a moment of the machine's
// clock has come or the recorder has answered.
func (c *caller) wait(until time.Duration) (line string, came bool) {
	// No longer than a second at a time: a timer stops while the machine
	// sleeps, the clock does not.
	wake := time.NewTimer(min(until-c.opt.Now(), time.Second))
	defer wake.Stop()
	select {
	case line, came = <-c.lines:
		if !came {
			c.lines = nil
		}
	case a := <-c.answers:
		c.learn(a)
	case <-wake.C:
	}
	return line, came
}

// parted returns the first word of a line and the rest.
func parted(line string) (word, rest string) {
	word, rest, _ = strings.Cut(strings.TrimSpace(line), " ")
	return word, strings.TrimSpace(rest)
}

// brew runs the clock until the brew has ended.
func (c *caller) brew() {
	c.said = make([]telling, len(c.lane.Plan().Cues))
	if c.opt.Slept != nil {
		c.opt.Slept() // what was slept before the start is no part of the brew
	}
	c.apply(brew.Event{Kind: brew.EventStart, At: 0, From: c.opt.From, Source: brew.FromKey})
	for i := range c.said {
		if _, end := c.lane.Span(i); end <= c.opt.From {
			c.said[i] = told
		}
	}
	for {
		c.cues(c.at())
		if how, _, _ := c.lane.Ending(); how != brew.Running {
			return
		}
		line, came := c.wait(c.pace.When(c.next()))
		c.overslept()
		c.askAgain()
		if came {
			c.obey(line)
		}
	}
}

// overslept keeps in the record that the machine slept, and says it.
func (c *caller) overslept() {
	if c.opt.Slept == nil {
		return
	}
	if text := c.opt.Slept(); text != "" {
		c.apply(brew.Event{Kind: brew.EventNote, At: c.at(), Text: text, Source: brew.FromClock})
	}
}

// at returns the moment of the timeline's clock.
func (c *caller) at() time.Duration { return c.pace.At(c.opt.Now()) }

// kinds are the events that a line's first word stands for.
var kinds = map[string]brew.EventKind{
	"": brew.EventMark, "u": brew.EventUndo, "s": brew.EventSkip, "f": brew.EventFinish, "e": brew.EventNudge,
	"z": brew.EventZero, "n": brew.EventNote, "q": brew.EventStop,
}

// obey does what a line of input says.
func (c *caller) obey(line string) {
	word, rest := parted(line)
	kind, known := kinds[word]
	takesText := kind == brew.EventNote || kind == brew.EventStop
	switch {
	case !known, rest != "" && !takesText:
		c.say("%q is not known: %s", line, Help)
	case kind == brew.EventFinish && !c.lane.At(c.lane.Elapsed(c.at())).Over():
		c.say("the brew is not over; q stops it")
	case kind == brew.EventNote && rest == "":
		c.say("a note needs words: n TEXT")
	default:
		c.apply(brew.Event{Kind: kind, At: c.at(), Text: rest, Source: brew.FromKey})
	}
}

// apply folds an event, says what it did and hands it to the recorder.
func (c *caller) apply(e brew.Event) {
	var outcome brew.Outcome
	c.lane, outcome = c.lane.Apply(e)
	if text := c.outcome(e, outcome); text != "" {
		c.say("%s %s", brew.Clock(c.lane.Elapsed(e.At)), text)
	}
	if outcome.Effect == brew.Refused || c.opt.Recorder == nil {
		return
	}
	c.events++
	c.latest = e
	c.keep()
}

// keep hands the latest event to the recorder.
func (c *caller) keep() {
	c.awaited++
	n, e, zero := c.events-1, c.latest, c.pace.Zero
	go func() { c.answers <- answer{n, c.opt.Recorder.Append(n, e, zero)} }()
}

// askAgain asks once more for what could not be kept: the recorder goes on
// trying, and says so only when it is asked.
func (c *caller) askAgain() {
	if now := c.opt.Now(); c.kept.Fault() != nil && c.awaited == 0 && now-c.asked >= time.Second {
		c.asked = now
		c.keep()
	}
}

// learn takes note of the recorder's answer, and says so where it cannot keep
// the brew, or can again.
func (c *caller) learn(a answer) {
	c.awaited--
	before := c.kept.Fault()
	c.kept = c.kept.Answer(a.n, a.err)
	switch now := c.kept.Fault(); {
	case now == nil && before != nil:
		c.say("saved again")
	case now != nil && (before == nil || now.Error() != before.Error()):
		c.say("not saved: %s", now)
	}
}

// result waits for the recorder and returns what came of the brew.
func (c *caller) result() Result {
	for c.awaited > 0 {
		c.learn(<-c.answers)
	}
	unsaved := c.kept.Fault()
	if unsaved == nil {
		unsaved = c.unread
	}
	return Result{c.lane, c.reading, unsaved}
}
