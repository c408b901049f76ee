package live

import (
	"strconv"
	"time"

	"barline/tui/stage"
)

// answer returns what the latest key did, else how the last mark fell, and
// whether that is news.
func (p Page) answer() (text stage.Cut, fresh bool) {
	n := p.notice
	fresh = n.at > 0 && p.now-n.at < noticeFor
	if n.text != "" && fresh {
		return stage.Cut{Middle: n.text, Role: n.role}, true
	}
	lane, beat := p.latest()
	if beat < 0 {
		return stage.Cut{}, fresh
	}
	return stage.Judged(p.timeline.Lane(lane), beat, p.name(lane), p.record.IsHollow(lane, beat)), fresh
}

// waits says which beat was called and waits for its mark.
func (p Page) waits(at time.Duration) stage.Cut {
	w := p.pending(at)
	if w.beat < 0 {
		return stage.Cut{}
	}
	rest := ", for " + Countdown(w.since.Truncate(time.Second))
	if w.more > 0 {
		rest += ", and " + strconv.Itoa(w.more) + " more"
	}
	return stage.Cut{Head: "pending: ", Middle: stage.Lead(p.name(w.lane)) + p.opt.Plans[w.lane].Beats[w.beat].Name, Tail: rest}
}

// question returns what the page asks for, nil for nothing.
func (p Page) question() *stage.Ask {
	switch p.asking {
	case leaving:
		yes := p.opt.Keys.Yes.Help().Key
		return &stage.Ask{Texts: []string{
			"Stop the brew? " + yes + " stops it, any other key goes on",
			"Stop? " + yes + " stops it, any other key goes on",
			"Stop? " + yes + ", or go on",
		}}
	case reason:
		return &stage.Ask{Texts: []string{"why stopped (enter leaves it out): ", "why stopped: ", "why: "}, Typed: &p.input}
	case noting:
		return &stage.Ask{Texts: []string{"note: "}, Typed: &p.input}
	}
	return nil
}
