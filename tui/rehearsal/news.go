package rehearsal

import (
	"strings"
	"time"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/stage"
)

// News says in lines of text what a page tells that the page before it, from
// which it came by one message, did not: what is to be done and said, and what
// became of a mark.
func (p Page) News(before Page) (out []string) {
	switch {
	case p.take != before.take:
		if before.phase != over {
			out = append(out, texts(Debrief(p.takes[len(p.takes)-1], newsWidth))...)
		}
		out, before = append(out, "the next take"), p.anew()
	case p.phase == over && before.phase != over:
		return append(out, texts(Debrief(p.told, newsWidth))...)
	}
	switch {
	case p.phase == counting && before.phase != counting:
		out = append(out, "time is called in "+stage.Countdown(p.run.Begins()-p.at()))
	case p.phase != running:
		return out
	case before.phase != running:
		out = append(out, "time: the clock runs")
		before.rung = p.run.Begins() - 1
		before.run, before.lanes, before.look.Next.Lane = p.run, p.lanes, -1
	}
	out = append(out, p.toldOfCues(before)...)
	out = append(out, p.toldOfLines(before)...)
	if said := p.minuteCall(); said != "" && before.minuteCall() == "" {
		out = append(out, strings.ToLower(said))
	}
	return append(out, p.toldOfKeys(before)...)
}

// newsWidth is how wide lines of text are at the most.
const newsWidth = 80

// Opening says in lines of text what is about to be rehearsed.
func (p Page) Opening() []string {
	return append([]string{p.title()}, texts(p.Resize(newsWidth, 0).readyTexts())...)
}

func texts(rows []stage.Text) (out []string) {
	for _, r := range rows {
		if r.Text != "" {
			out = append(out, r.Text)
		}
	}
	return out
}

// toldOfCues says what has begun, and what is about to, since the page before.
func (p Page) toldOfCues(before Page) (out []string) {
	passed := func(moment time.Duration) bool { return before.rung < moment && moment <= p.rung }
	for _, a := range before.acts() {
		cue := p.cueOf(a)
		text := p.cueLead(a) + cue.Prompt
		switch {
		case cue.Action == brew.Wait:
		case passed(a.start) && a.begins:
			out = append(out, text+", mark as water meets coffee"+p.asksFor(a))
		case passed(a.start) && a.cue < 0:
			out = append(out, text)
		case passed(a.start):
			out = append(out, text+", by "+brew.Clock(a.end)+p.asksFor(a))
		case a.start > p.rung && passed(a.start-p.opt.Ahead):
			out = append(out, "in "+stage.Countdown(p.opt.Ahead)+": "+text)
		}
	}
	return out
}

// asksFor says whether a cue that is on waits for a mark at its end.
func (p Page) asksFor(a act) string {
	if p.lanes.Lane(a.lane).Plan().Asks(brew.Point{Cue: a.cue, Edge: brew.EndEdge}) {
		return ", mark when done"
	}
	return ""
}

func (p Page) cueLead(a act) string {
	if name := p.ofCup(a.lane); name != "" {
		return name + ": "
	}
	return ""
}

// toldOfLines says what is to be said now, and how things stand at a new
// section.
func (p Page) toldOfLines(before Page) (out []string) {
	was, now := before.look.Line, p.look.Line
	if was < 0 {
		was = p.opt.Plan.Sections[p.run.Options().From].First - 1
	}
	for k := was + 1; k <= now; k++ {
		line := p.opt.Plan.Lines[k]
		if section := p.opt.Plan.Sections[line.Section]; k == section.First {
			left, _ := p.left()
			out = append(out, section.Name+", "+left+", "+p.look.Standing.String())
		}
		text := "say: " + draw.OneLine(line.Words)
		if line.Words == "" {
			text = "silence for " + brew.Spoken(line.Length)
		}
		out = append(out, text)
	}
	if p.asked() && !before.asked() {
		out = append(out, p.nextText())
	}
	return out
}

// toldOfKeys says what a key did, or asked for.
func (p Page) toldOfKeys(before Page) (out []string) {
	if p.notice.text != "" && p.notice != before.notice {
		out = append(out, p.notice.text)
	}
	if p.latest.any && (p.latest != before.latest || p.run.Started() != before.run.Started()) {
		fell := p.fell(p.latest)
		out = append(out, "marked: "+fell.Middle+fell.Tail+", "+p.look.Standing.String())
	}
	if q := p.question(); q != nil && p.ask != before.ask && q.Typed == nil {
		out = append(out, q.Texts[0])
	}
	if err := p.Unsaved(); err != nil && before.Unsaved() == nil {
		out = append(out, "not saved: "+err.Error())
	}
	return out
}

// Wants reports whether nothing is left of the take but to call time: it is
// due, or long past.
func (p Page) Wants() bool {
	past := max(p.run.Due(), p.opt.Plan.Rules.Out) + brew.FinishAfter
	return p.phase == running && (p.callDue() || p.at() > past)
}

// Busy reports whether a take is under way.
func (p Page) Busy() bool { return p.phase == running || p.phase == counting }

// Leaving reports whether the page goes as soon as all is kept.
func (p Page) Leaving() bool { return p.record.Closing() }
