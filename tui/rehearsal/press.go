package rehearsal

import (
	"strings"
	"time"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/stage"

	tea "github.com/charmbracelet/bubbletea"
)

// press gives a key to whoever waits for one. Marks and lines are taken
// whatever is asked, but for a key that is a letter of the note being typed.
func (p Page) press(k keys.Press) (Page, tea.Cmd) {
	if p.ask == noting && k.Type != tea.KeyPgDown {
		return p.typed(k)
	}
	m, hold, counts := p.opt.Keys, keys.Hold, false
	if k.Is(m.Nudge) {
		hold = keys.Tap
	}
	if p.guard, counts = p.guard.Admit(k, hold); !counts && !k.Is(m.Up, m.Down) {
		return p, nil
	}
	switch p.phase {
	case ready:
		return p.begin(k)
	case counting:
		if k.Is(m.Leave) {
			return p.anew(), nil
		}
		return p, nil
	case over:
		return p.read(k)
	}
	switch {
	case k.Is(m.Mark):
		return p.mark(k)
	case k.Is(m.Line):
		return p.line()
	case p.ask == stopping || p.ask == calling:
		return p.answered(k)
	}
	return p.act(k)
}

// begin answers a key before the take.
func (p Page) begin(k keys.Press) (Page, tea.Cmd) {
	switch m := p.opt.Keys; {
	case k.Is(m.Mark):
		return p.start()
	case k.Is(m.Leave):
		return p.close()
	default:
		return p.scroll(k, p.lastReady()), nil
	}
}

// scroll moves a list whose topmost row at the end of scrolling is last.
func (p Page) scroll(k keys.Press, last int) Page {
	switch m := p.opt.Keys; {
	case k.Is(m.Up):
		p.top = max(min(p.top, last)-1, 0)
	case k.Is(m.Down):
		p.top = min(p.top+1, last)
	}
	return p
}

// mark takes the brew's key for what it means at this moment. Time is not
// called by it while something is still to come, unless that is confirmed.
func (p Page) mark(k keys.Press) (Page, tea.Cmd) {
	source := brew.FromKey
	if k.Type == tea.KeyPgDown {
		source = brew.FromFootSwitch
	}
	e, means := p.run.Meant(p.at(), source)
	switch {
	case !means:
		return p.say("nothing waits for a mark", draw.Faint), nil
	case e.Lane == p.opt.Plan.CallsLane():
		return p.callTime(source)
	case e.Kind == brew.EventStart && p.premature(e.Lane):
		return p.hold(e)
	}
	return p.marks(e)
}

// early is a press that would have let something begin long ahead of its time.
type early struct {
	any  bool
	lane int
	at   time.Duration // on the machine's clock
}

// insists reports whether that press was one in the same lane, just before.
func (p Page) insists(lane int) bool {
	return p.early.any && p.early.lane == lane && p.now-p.early.at < noticeFor
}

// premature reports whether a start would come so early that zero again could
// not put it right, were it a slip of the hand. Pressed once more it is meant.
func (p Page) premature(lane int) bool {
	return !p.insists(lane) && p.opt.Plan.Cups[lane].Zero-p.at() > brew.ZeroWithin
}

// hold keeps a press that starts nothing yet in the record, and asks for it
// once more.
func (p Page) hold(start brew.Event) (Page, tea.Cmd) {
	name, in := p.laneName(start.Lane), p.opt.Plan.Cups[start.Lane].Zero-p.at()
	p, cmd := p.tooEarly(start, in, "water on "+name)
	return p.say("due in "+stage.Countdown(in)+": "+p.opt.Keys.Mark.Help().Key+" again starts "+name, draw.Caution), cmd
}

// tooEarly keeps a press that lets nothing begin yet in the record.
func (p Page) tooEarly(e brew.Event, in time.Duration, what string) (Page, tea.Cmd) {
	p.early = early{true, e.Lane, p.now}
	p, _, cmd := p.apply(brew.Event{Kind: brew.EventNote, Lane: p.opt.Plan.CallsLane(), Source: e.Source,
		Text: "a press " + brew.Spoken(in.Round(time.Second)) + " ahead of " + what})
	return p, cmd
}

// marks folds a mark or the start of a brew.
func (p Page) marks(e brew.Event) (Page, tea.Cmd) {
	p, outcome, cmd := p.apply(e)
	switch outcome.Effect {
	case brew.Stray:
		p.marked = append(p.marked[:len(p.marked):len(p.marked)], e.Lane)
		return p.say(p.laneLead(e.Lane)+outcome.Why+"; the mark moves nothing", draw.Faint), cmd
	case brew.Taken:
		p.notice = notice{at: p.now} // how it fell is worked out anew at each frame
		if e.Kind == brew.EventStart {
			return p.await(e.Lane, -1), cmd
		}
		p.marked = append(p.marked[:len(p.marked):len(p.marked)], e.Lane)
		return p.await(e.Lane, outcome.Beat), cmd
	}
	return p, cmd
}

// line lets the next line begin, or confirms the one that has just begun. One
// that is tied to something still far ahead begins only with a second press.
func (p Page) line() (Page, tea.Cmd) {
	talk := p.opt.Plan.TalkLane()
	e := brew.Event{Kind: brew.EventMark, Lane: talk}
	if line, ahead := p.run.LineAhead(p.at()); ahead > brew.ZeroWithin && !p.insists(talk) {
		p, cmd := p.tooEarly(e, ahead, p.opt.Plan.Lines[line].Name(line))
		return p.say("due in "+stage.Countdown(ahead)+": "+p.opt.Keys.Line.Help().Key+" again begins it now", draw.Caution), cmd
	}
	p, outcome, cmd := p.apply(e)
	if outcome.Effect == brew.Refused {
		return p, cmd
	}
	p.notice = notice{at: p.now}
	p.marked = append(p.marked[:len(p.marked):len(p.marked)], talk)
	return p.await(talk, p.look.Line), cmd
}

// act answers any other key during the take.
func (p Page) act(k keys.Press) (Page, tea.Cmd) {
	switch m := p.opt.Keys; {
	case k.Is(m.Call):
		return p.callTime(brew.FromKey)
	case k.Is(m.Undo):
		return p.undo()
	case k.Is(m.Skip):
		return p.happens(brew.EventSkip)
	case k.Is(m.Zero):
		return p.happens(brew.EventZero)
	case k.Is(m.Nudge):
		return p.nudge()
	case k.Is(m.Note):
		p.ask = noting
		p.input.Reset()
		p.input.Focus()
	case k.Is(m.Leave):
		p.ask = stopping
	}
	return p, nil
}

// happens tells the prompted lane that its cue is skipped, or that its 0:00 is
// now.
func (p Page) happens(kind brew.EventKind) (Page, tea.Cmd) {
	lane := p.cast().lane()
	if lane < 0 {
		return p.say("nothing is prompted", draw.Faint), nil
	}
	p, outcome, cmd := p.apply(brew.Event{Kind: kind, Lane: lane})
	switch {
	case outcome.Effect == brew.Refused:
		return p, cmd
	case kind == brew.EventZero:
		return p.say(p.laneLead(lane)+"0:00 is now", draw.Plain), cmd
	}
	p.marked = append(p.marked[:len(p.marked):len(p.marked)], lane)
	told := "skipped"
	if outcome.Cue >= 0 {
		told += ": " + p.run.Lanes().Lane(lane).Plan().Cues[outcome.Cue].Name
	}
	return p.say(p.laneLead(lane)+told, draw.Plain), cmd
}

// undo takes back the latest mark, skip or line that stands.
func (p Page) undo() (Page, tea.Cmd) {
	if len(p.marked) == 0 {
		return p.say("there is nothing to take back", draw.Faint), nil
	}
	lane := p.marked[len(p.marked)-1]
	p, outcome, cmd := p.apply(brew.Event{Kind: brew.EventUndo, Lane: lane})
	if outcome.Effect == brew.Refused {
		return p, cmd
	}
	p.marked, p.latest = p.marked[:len(p.marked)-1], answer{}
	told := "taken back"
	if outcome.Beat >= 0 && lane <= p.opt.Plan.HandsLane() {
		told += ": " + p.run.Lanes().Lane(lane).Plan().Beats[outcome.Beat].Name
	}
	return p.say(p.laneLead(lane)+told, draw.Plain), cmd
}

// nudge moves the latest mark of a beat a second earlier.
func (p Page) nudge() (Page, tea.Cmd) {
	if len(p.marked) == 0 || p.marked[len(p.marked)-1] > p.opt.Plan.HandsLane() {
		return p.say("the latest mark is none of a beat", draw.Faint), nil
	}
	p, outcome, cmd := p.apply(brew.Event{Kind: brew.EventNudge, Lane: p.marked[len(p.marked)-1]})
	if outcome.Effect != brew.Refused {
		p.notice = notice{at: p.now}
	}
	return p, cmd
}

// typed edits the note; the take goes on meanwhile.
func (p Page) typed(k keys.Press) (Page, tea.Cmd) {
	m := p.opt.Keys
	ends, counts := k.Is(m.Enter, m.Back), false
	if p.guard, counts = p.guard.Admit(k, keys.Hold); ends && !counts {
		return p, nil
	}
	if !ends {
		p.input, _ = p.input.Update(k.KeyMsg)
		return p, nil
	}
	p.ask = nothing
	text := draw.OneLine(strings.TrimSpace(p.input.Value()))
	if !k.Is(m.Enter) || text == "" {
		return p, nil
	}
	p, _, cmd := p.apply(brew.Event{Kind: brew.EventNote, Lane: p.opt.Plan.CallsLane(), Text: text})
	return p.say("noted", draw.Plain), cmd
}
