package rehearsal

import (
	"fmt"
	"strings"
	"time"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/stage"

	"github.com/charmbracelet/bubbles/key"
)

// Draw returns the page on a canvas of its size.
func (p Page) Draw() *draw.Canvas {
	c := draw.NewCanvas(p.width, p.height)
	switch p.phase {
	case ready:
		p.drawReady(c)
	case over:
		p.drawTold(c)
	default:
		needs := p.needs()
		p.drawTalk(c, stage.Lay(p.width, p.height, needs, p.opt.Theme.ASCII)[stage.BelowPart])
		stage.Draw(c, needs, p.view(), p.opt.Theme)
	}
	return c
}

// needs gathers the longest texts that the page will show. How many rows what
// is said has follows from the height.
func (p Page) needs() stage.Needs {
	n := stage.LeastNeeds()
	for i, cup := range p.opt.Plan.Cups {
		n = n.WithPlan(p.laneName(i), cup.Plan)
	}
	n = n.WithPlan("", p.opt.Plan.Hands)
	n.Clock = "00:00"
	n.Lanes = len(p.opt.Plan.Cups) + 2
	switch {
	case p.large():
		n.Below = largeRows
	case p.height >= tallScreen:
		n.Below = 8
	case p.height >= usualScreen:
		n.Below = 4
	default:
		n.Below = 4
	}
	// What is said gives way to the row that tells what the latest key did.
	for n.Below > leastBelow && stage.Lay(p.width, p.height, n, p.opt.Theme.ASCII)[stage.MarkPart].H == 0 {
		n.Below--
	}
	return n
}

const (
	usualScreen = 20
	tallScreen  = 40
	wideScreen  = 120
	leastBelow  = 2 // rows: how things stand, and one of what is said
)

// view is what the screen shows of the hands.
func (p Page) view() stage.View {
	c := p.cast()
	answer, fresh := p.answers()
	v := stage.View{
		Title: p.title(), Aside: p.opt.By, Warning: p.warning(), At: p.at(),
		Alarm: p.ask == stopping, Clock: brew.Clock(p.at()),
		Care: p.care(c), Next: p.following(c), Picture: p.picture(c),
		Answer: answer, Fresh: fresh, Waits: p.waits(c), Ask: p.question(), Keys: p.keys(),
	}
	p.prompt(&v, c)
	return v
}

// keys returns the keys that do something.
func (p Page) keys() []key.Binding {
	if p.phase == counting {
		return p.opt.Keys.Counting()
	}
	return p.opt.Keys.Running()
}

// title says what goes on, and what is out of the ordinary.
func (p Page) title() string {
	words := []string{draw.OneLine(p.opt.Plan.Name)}
	if p.opt.Dry {
		words = append(words, "dry")
	}
	if p.run.Partial() {
		words = append(words, p.sections())
	}
	if p.opt.Speed != 1 {
		words = append(words, fmt.Sprintf("at speed %g", p.opt.Speed))
	}
	if p.take > 0 {
		words = append(words, fmt.Sprintf("take %d", p.take+1))
	}
	return strings.Join(words, ", ")
}

// sections says which are run.
func (p Page) sections() string {
	opt := p.run.Options()
	if opt.From == opt.To {
		return fmt.Sprintf("section %d", opt.From+1)
	}
	return fmt.Sprintf("sections %d to %d", opt.From+1, opt.To+1)
}

// prompt fills in what the hands are to do.
func (p Page) prompt(v *stage.View, c cast) {
	at := p.at()
	switch {
	case p.phase == counting:
		v.Word, v.Prompt, v.Left = "TIME", "call time and begin", stage.Countdown(p.run.Begins()-at)
	case c.now != nil && c.now.begins:
		cue := p.cueOf(*c.now)
		v.On, v.Word, v.Prompt, v.Label, v.Lane = true, stage.Word(cue.Action), cue.Prompt, cue.Label, p.laneName(c.now.lane)
		v.Until = p.opt.Keys.Mark.Help().Key + " at the water"
	case c.now != nil:
		p.cuePrompt(v, c, *c.now)
	case c.next != nil:
		v.Word, v.Prompt = string(stage.WaitWord), "hands free until "+brew.Clock(c.next.start)
		v.Left, v.Also = stage.Countdown(c.next.start-at), p.beside(c)
	case c.ends:
		v.On, v.Word, v.Prompt = true, "TIME", "call time: "+p.opt.Keys.Mark.Help().Key
	default:
		v.Word, v.Prompt, v.Also = string(stage.WaitWord), "the hands are done", p.beside(c)
	}
}

// cuePrompt fills in a cue that is on.
func (p Page) cuePrompt(v *stage.View, c cast, a act) {
	at, cue, lane := p.at(), p.cueOf(a), p.lanes.Lane(a.lane)
	v.On, v.Word, v.Prompt, v.Label, v.Lane = true, stage.Word(cue.Action), cue.Prompt, cue.Label, p.ofCup(a.lane)
	v.Left, v.Until = stage.Countdown(a.end-at), "by "+brew.Clock(a.end)
	if a.lane == p.opt.Plan.HandsLane() {
		v.Label = ""
	}
	m := lane.At(lane.Elapsed(at))
	if m.On == a.cue {
		switch {
		case cue.Action == brew.Press:
			v.Amount = stage.Percent(m.Done)
		case m.HasReading && a.lane < p.opt.Plan.HandsLane():
			v.Amount = stage.Weight(m.Reading)
		}
		if cue.Action == brew.Pour || cue.Action == brew.Bypass && cue.OnScale {
			v.Also = append(v.Also, stage.Weight(m.ToGo)+" to go")
		}
	}
	v.Also = append(v.Also, p.beside(c)...)
}

// beside is what goes on by itself meanwhile.
func (p Page) beside(c cast) (out []string) {
	for _, a := range c.free {
		out = append(out, p.laneLead(a.lane)+p.cueOf(a).Name+" for "+stage.Countdown(a.end-p.at()))
	}
	return out
}

// following is what the hands do next.
func (p Page) following(c cast) stage.Next {
	if c.next == nil || p.phase == counting {
		return stage.Next{Quiet: p.phase == counting || c.ends}
	}
	in := c.next.start - p.at()
	return stage.Next{
		Prompt: p.cueOf(*c.next).Prompt, Lane: p.ofCup(c.next.lane), In: stage.Countdown(in), At: "at " + brew.Clock(c.next.start), Soon: in <= p.opt.Ahead,
	}
}

// careAhead is how long before its cue a word of caution comes back.
const careAhead = 20 * time.Second

// care returns words of caution: those of what is on, else of what comes next.
func (p Page) care(c cast) stage.Care {
	if c.now != nil {
		if cue := p.cueOf(*c.now); cue.Caution != "" {
			return stage.Care{Text: cue.Caution, Role: draw.Caution}
		}
	}
	if c.next != nil && c.next.start-p.at() <= careAhead {
		if cue := p.cueOf(*c.next); cue.Caution != "" {
			return stage.Care{Text: p.laneLead(c.next.lane) + cue.Name + ": " + cue.Caution, Role: draw.Caution}
		}
	}
	return stage.Care{}
}

// question returns what the page asks, nil for nothing.
func (p Page) question() *stage.Ask {
	m := p.opt.Keys
	yes, again := m.Yes.Help().Key, m.Again.Help().Key
	switch p.ask {
	case stopping:
		return &stage.Ask{Texts: []string{
			"Stop the take? " + yes + " stops it, " + again + " stops it and begins the next, any other key goes on",
			yes + " stops, " + again + " stops and begins anew", "stop? " + yes + ", " + again + " again, or not",
		}}
	case calling:
		return &stage.Ask{Texts: []string{
			"Call time? Not all is said and done. " + yes + " calls it, any other key goes on",
			yes + " calls time early, other keys go on", "call time? " + yes + ", or not",
		}}
	case noting:
		return &stage.Ask{Texts: []string{"note: "}, Typed: &p.input}
	}
	return nil
}

// answers returns what the latest key did, else how the latest mark fell, and
// whether that is news.
func (p Page) answers() (text stage.Cut, fresh bool) {
	n := p.notice
	fresh = n.at > 0 && p.now-n.at < noticeFor
	if n.text != "" && fresh {
		return stage.Cut{Middle: n.text, Role: n.role}, true
	}
	if !p.latest.any {
		return stage.Cut{}, false
	}
	return p.fell(p.latest), fresh
}

// fell says how a mark fell, with a box that fills when the record holds it.
func (p Page) fell(a answer) stage.Cut {
	hollow := p.record.IsHollow(a.lane, a.beat)
	box := "[x] "
	if hollow {
		box = "[ ] "
	}
	switch plan := p.opt.Plan; {
	case a.lane == plan.TalkLane():
		return stage.Cut{Head: box, Middle: plan.Lines[a.beat].Name(a.beat), Tail: p.lineDrift(a.beat)}
	case a.beat < 0:
		late := p.lanes.Lane(a.lane).Zero() - plan.Cups[a.lane].Zero
		return stage.Cut{Head: box, Middle: p.laneName(a.lane) + " has begun", Tail: " " + brew.Signed(late)}
	default:
		return stage.Judged(p.lanes.Lane(a.lane), a.beat, p.laneName(a.lane), hollow)
	}
}

// lineDrift is how far from its written time a line was begun.
func (p Page) lineDrift(line int) string {
	for _, l := range p.lines() {
		if l.number == line && l.marked {
			return " " + brew.Signed(l.start-p.opt.Plan.Lines[line].Start)
		}
	}
	return ""
}

// waits says what was called and waits for its mark; the start of a brew that
// is prompted is not among it, nor is a line, which stands with the others.
func (p Page) waits(c cast) stage.Cut {
	var names []string
	var since time.Duration
	for _, w := range p.look.Pending {
		var name string
		switch plan := p.opt.Plan; {
		case w.Lane >= plan.TalkLane(), w.Beat < 0 && c.now != nil && c.now.lane == w.Lane:
			continue
		case w.Beat < 0:
			name = p.laneName(w.Lane) + ": water meets coffee"
		default:
			name = p.lanes.Lane(w.Lane).Plan().Beats[w.Beat].Name
			if w.Lane != plan.HandsLane() {
				name = p.laneName(w.Lane) + ": " + name
			}
		}
		if names = append(names, name); len(names) == 1 {
			since = w.For
		}
	}
	if len(names) == 0 {
		return stage.Cut{}
	}
	rest := ", for " + stage.Countdown(since.Truncate(time.Second))
	if len(names) > 1 {
		rest += fmt.Sprintf(", and %d more", len(names)-1)
	}
	return stage.Cut{Head: "pending: ", Middle: names[0], Tail: rest}
}

// countdownClock is a time that is left on a clock, seconds rounded up.
func countdownClock(d time.Duration) string {
	return brew.Clock((d + time.Second - 1).Truncate(time.Second))
}
