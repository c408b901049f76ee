package service

import (
	"time"

	"barline/brew/bar"
	"barline/tui/draw"
	"barline/tui/stage"
)

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

// others says what the other persons do, where anybody does anything.
func (p Page) others(c cast) (out []stage.Text) {
	if c.on == nil && c.next == nil {
		return nil
	}
	for i, d := range p.look.People {
		if i == c.person || len(p.look.People) == 1 {
			continue
		}
		out = append(out, p.other(d))
	}
	return out
}

// other says what somebody else does, how long it has first.
func (p Page) other(d bar.Duty) stage.Text {
	who := draw.Fit(d.Name, nameWidth) + ", "
	switch {
	case d.Now != nil && d.Now.Zero:
		return stage.Text{Text: who + "mark as water meets coffee: " + p.told(d.Now), Role: draw.Strong}
	case d.Now != nil:
		return stage.Text{Text: who + stage.Countdown(d.Now.End-p.at()) + " left: " + p.told(d.Now), Role: draw.Strong}
	case d.Next != nil:
		return stage.Text{Text: who + "free for " + stage.Countdown(d.Free) + ": " + p.told(d.Next)}
	}
	return stage.Text{Text: who + "hands free", Role: draw.Faint}
}

// told is something to do with the lane that it is in.
func (p Page) told(do *bar.Do) string { return p.name(do.Order) + ": " + do.Say }
