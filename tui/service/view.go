package service

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/draw"
	"barline/tui/stage"
)

// Draw returns the page on a canvas of its size.
func (p Page) Draw() *draw.Canvas {
	c := draw.NewCanvas(p.width, p.height)
	if p.over {
		p.drawSummary(c)
		return c
	}
	stage.Draw(c, p.needs, p.view(), p.opt.Theme)
	p.drawHelp(c)
	p.drawChoices(c)
	return c
}

// needed gathers the longest texts that the page will show with this menu.
func (p Page) needed() stage.Needs {
	n := stage.LeastNeeds()
	n.Badge, n.Lanes = "8", usualLanes
	n.Below = len(p.service.People()) - 1
	name := strings.Repeat("n", nameWidth+2)
	if n.Below > 0 {
		name += ", " + strings.Repeat("n", p.longestPerson())
	}
	for _, d := range p.service.Menu() {
		n = n.WithPlan(name, d.Plan)
	}
	return n
}

// usualLanes are the rows of timeline that a rush needs: a lane a row, the
// clock and the ruler.
const usualLanes = 9

func (p Page) longestPerson() (most int) {
	for _, name := range p.service.People() {
		most = max(most, draw.Width(draw.Fit(name, nameWidth)))
	}
	return most
}

// view is what the screen shows.
func (p Page) view() stage.View {
	c := p.cast()
	answer, fresh := p.answered()
	v := stage.View{
		Title: p.title(), Aside: p.aside(), Warning: p.warning(), At: p.at(),
		Alarm: p.ask.what == closing || p.ask.what == stopping || p.ask.what == sure,
		Clock: p.day(p.at()),
		Care:  p.care(c), Below: p.others(c), Next: p.following(c), Picture: p.picture(c),
		Answer: answer, Fresh: fresh, Waits: p.waits(c), Ask: p.question(), Keys: p.footKeys(),
	}
	if c.order >= 0 {
		v.Badge, v.Lane = p.lanes[c.order], p.owned(c.person, p.name(c.order))
	}
	p.prompt(&v, c)
	return v
}

// prompt fills in what is to be done.
func (p Page) prompt(v *stage.View, c cast) {
	cue, isCue := p.cue(c.on)
	switch {
	case c.on != nil && c.on.Zero && c.on.Late:
		v.On, v.Word, v.Prompt, v.Label = true, stage.Word(cue.Action), cue.Prompt, cue.Label
		v.Until = p.opt.Keys.Mark.Help().Key + " as water meets coffee"
		v.Clock = brew.Clock(0)
	case isCue:
		p.cuePrompt(v, c, cue)
	case c.on != nil:
		v.On, v.Word, v.Prompt = true, strings.ToUpper(choreWord(c.on.Say)), c.on.Say
		v.Left, v.Until = stage.Countdown(c.on.End-p.at()), "by "+p.day(c.on.End)
	case c.next != nil:
		v.Word, v.Lane = string(stage.WaitWord), ""
		v.Prompt = p.owned(c.person, "hands free until "+p.day(c.next.Start))
		v.Left = stage.Countdown(c.next.Start - p.at())
		v.Also = p.beside(c)
	case c.wait != nil:
		v.Word, v.Prompt = "MARK", "waiting for the mark: "+p.beatName(*c.wait)
	default:
		p.idle(v)
	}
}

// cuePrompt fills in a cue of a brew.
func (p Page) cuePrompt(v *stage.View, c cast, cue brew.Cue) {
	v.On, v.Word, v.Prompt, v.Label = true, stage.Word(cue.Action), cue.Prompt, cue.Label
	v.Clock = brew.Clock(p.at() - c.zero)
	v.Left, v.Until = stage.Countdown(c.on.End-p.at()), "by "+brew.Clock(c.on.End-c.zero)
	m, on := p.moment(c.on)
	switch {
	case !on:
		return
	case cue.Action == brew.Press:
		v.Amount = stage.Percent(m.Done)
	case m.HasReading:
		v.Amount = stage.Weight(m.Reading)
	}
	if cue.Action == brew.Pour || cue.Action == brew.Bypass && cue.OnScale {
		v.Also = append(v.Also, stage.Weight(m.ToGo)+" to go")
	}
	v.Also = append(v.Also, p.beside(c)...)
}

// idle is the prompt where nothing is to be done at all.
func (p Page) idle(v *stage.View) {
	v.Word, v.Badge, v.Next.Quiet = "OPEN", "", true
	add := p.opt.Keys.Add.Help().Key + " and a recipe's digit add an order"
	switch {
	case p.service.Closed():
		v.Word, v.Prompt = "CLOSED", "what runs is brewed to its end"
	case p.plans.fault != nil:
		v.Prompt = "no plan: " + p.plans.fault.Error()
	case len(p.live()) > 0 && p.plans.busy:
		v.Prompt = "planning"
	case len(p.live()) > 0:
		v.Prompt = "all that waits is held; " + add
	default:
		v.Prompt = add
	}
}

// beside is what goes on by itself in the lanes meanwhile, what ends next
// first.
func (p Page) beside(c cast) []string {
	type free struct {
		end  time.Duration
		text string
	}
	var all []free
	for _, t := range p.look.Tickets {
		for _, do := range t.Coming {
			cue, is := p.cue(&do)
			if is && !do.Hands && cue.Action != brew.Wait && do.Start <= p.at() && do.End > p.at() {
				all = append(all, free{do.End, p.name(t.Order) + ": " + cue.Name + " for " + stage.Countdown(do.End-p.at())})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b free) int { return int(a.end - b.end) })
	var out []string
	for _, f := range all {
		out = append(out, f.text)
	}
	return out
}

// following is what comes next for the one who is prompted, and how long it
// may wait.
func (p Page) following(c cast) stage.Next {
	if c.next == nil {
		return stage.Next{}
	}
	in := max(c.next.Start-p.at(), 0)
	return stage.Next{
		Prompt: c.next.Say, Lane: p.name(c.next.Order), In: stage.Countdown(in), At: mayWait(c.next), Soon: in <= p.opt.Ahead,
	}
}

// mostSlack is from where on it is of no interest how long a thing may wait.
const mostSlack = 10 * time.Minute

// mayWait says how long something may wait.
func mayWait(do *bar.Do) string {
	switch {
	case do.May <= 0:
		return "cannot wait"
	case do.May < mostSlack:
		return "may wait " + stage.Countdown(do.May)
	}
	return ""
}

// others says what the other persons do.
func (p Page) others(c cast) (out []stage.Text) {
	for i, d := range p.look.People {
		if i == c.person || len(p.look.People) == 1 {
			continue
		}
		who := stage.Lead(draw.Fit(d.Name, nameWidth))
		switch {
		case d.Now != nil && d.Now.Zero:
			out = append(out, stage.Text{Text: who + p.name(d.Now.Order) + ": " + d.Now.Say + ", mark as water meets coffee", Role: draw.Strong})
		case d.Now != nil:
			out = append(out, stage.Text{Text: who + p.name(d.Now.Order) + ": " + d.Now.Say + ", " + stage.Countdown(d.Now.End-p.at()) + " left", Role: draw.Strong})
		case d.Next != nil:
			out = append(out, stage.Text{Text: who + "free for " + stage.Countdown(d.Free) + ", then " + p.name(d.Next.Order) + ": " + d.Next.Say, Role: draw.Plain})
		default:
			out = append(out, stage.Text{Text: who + "hands free", Role: draw.Faint})
		}
	}
	return out
}

// title says what goes on, and what is out of the ordinary.
func (p Page) title() string {
	words := []string{p.opt.Title}
	if p.opt.Kind != "" && p.opt.Kind != "service" {
		words = append(words, p.opt.Kind)
	}
	if p.opt.Speed != 1 {
		words = append(words, fmt.Sprintf("at speed %g", p.opt.Speed))
	}
	if all, out := p.service.Kit(); out.Brewers > 0 {
		words = append(words, fmt.Sprintf("%d of %d brewers out", out.Brewers, max(all.Brewers, 1)))
	}
	if p.service.Closed() {
		words = append(words, "closed")
	}
	if len(p.look.Queue) > 0 {
		words = append(words, fmt.Sprintf("%d waiting", len(p.look.Queue)))
	}
	return strings.Join(words, ", ")
}

// aside is the time of day and what may be said of the plan.
func (p Page) aside() string {
	now := p.day(p.at())
	if claim := p.look.Claim.String(); claim != "" && len(p.live()) > 0 {
		return "plan " + claim + ", " + now
	}
	return now
}

// careAhead is how long before its cue a word of caution comes back.
const careAhead = 20 * time.Second

// care returns words of caution: those of what is on, what gives way, those of
// what comes next; else why what is on is done so.
func (p Page) care(c cast) stage.Care {
	cue, on := p.cue(c.on)
	var words []string
	if on && cue.Caution != "" {
		words = append(words, cue.Caution)
	}
	words = append(words, p.giving()...)
	if len(words) > 0 {
		return stage.Care{Text: strings.Join(words, "; "), Role: draw.Caution}
	}
	if coming, is := p.cue(c.next); is && coming.Caution != "" && c.next.Start-p.at() <= careAhead {
		return stage.Care{Text: p.name(c.next.Order) + ": " + coming.Name + ": " + coming.Caution, Role: draw.Caution, Ahead: true}
	}
	if c.order < 0 && p.ask.what == nothing {
		return stage.Care{Text: strings.Join(p.menuChoices(), "  "), Role: draw.Faint}
	}
	return stage.Care{Text: cue.Why, Role: draw.Faint}
}

// giving says which brew gives way to which, by how much at the first thing
// that does, and what that costs its cup.
func (p Page) giving() (out []string) {
	told := map[int]bool{}
	for _, g := range p.look.Gives {
		if told[g.Order] {
			continue
		}
		told[g.Order] = true
		text := p.name(g.Order)
		if g.For >= 0 {
			text += " gives way to " + p.name(g.For)
		}
		text += fmt.Sprintf(": %s %s late", p.service.DishOf(g.Order).Pattern.Acts[g.Act].Name, seconds(g.Late))
		if g.Cup > 0 {
			text += ", its cup " + seconds(g.Cup) + " later"
		}
		out = append(out, text)
	}
	return out
}

func seconds(ticks int) string { return brew.Spoken(time.Duration(ticks) * time.Second) }

// answered returns what the latest key did, else how the last mark fell, and
// whether that is news.
func (p Page) answered() (text stage.Cut, fresh bool) {
	n := p.notice
	fresh = n.at > 0 && p.now-n.at < noticeFor
	if n.text != "" && fresh {
		return stage.Cut{Middle: n.text, Role: n.role}, true
	}
	m := p.record.latest
	if !p.record.any || m.brew >= p.service.Brews() {
		return stage.Cut{}, false
	}
	lane, name := p.service.Lane(m.brew), p.name(p.service.OrderOf(m.brew))
	switch {
	case m.beat >= 0 && lane.Beat(m.beat).Status == brew.Marked:
		return stage.Judged(lane, m.beat, name, p.isHollow(m.brew, m.beat)), fresh
	case m.beat < 0 && p.service.BrewOf(p.service.OrderOf(m.brew)) == m.brew:
		box := "[x] "
		if p.isHollow(m.brew, -1) {
			box = "[ ] "
		}
		return stage.Cut{Head: box, Middle: name + " has begun"}, fresh
	}
	return stage.Cut{}, false
}

// waits says which beat was called and waits for its mark; the zero that is
// prompted is not among them.
func (p Page) waits(c cast) stage.Cut {
	all := slices.DeleteFunc(slices.Clone(p.look.Waiting), func(w bar.Waiting) bool { return w.Beat < 0 && w.Order == c.order })
	if len(all) == 0 || c.wait != nil {
		return stage.Cut{}
	}
	rest := ", for " + stage.Countdown((p.at() - all[0].Called).Truncate(time.Second))
	if len(all) > 1 {
		rest += fmt.Sprintf(", and %d more", len(all)-1)
	}
	return stage.Cut{Head: "pending: ", Middle: p.beatName(all[0]), Tail: rest}
}

// beatName is a beat that waits, with its lane's name.
func (p Page) beatName(w bar.Waiting) string {
	if w.Beat < 0 {
		return p.name(w.Order) + ": water meets coffee"
	}
	return p.name(w.Order) + ": " + p.service.DishOf(w.Order).Plan.Beats[w.Beat].Name
}
