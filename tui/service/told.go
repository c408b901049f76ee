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
	if until := p.service.KettleEmpty(); until > p.at() {
		words = append(words, "kettle empty until "+p.day(until))
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
		return stage.Judged(lane, m.beat, name, p.record.IsHollow(m.brew, m.beat)), fresh
	case m.beat < 0 && p.service.BrewOf(p.service.OrderOf(m.brew)) == m.brew:
		box := "[x] "
		if p.record.IsHollow(m.brew, -1) {
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
