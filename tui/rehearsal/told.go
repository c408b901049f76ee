package rehearsal

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/tui/draw"
	"barline/tui/stage"

	"github.com/charmbracelet/bubbles/key"
)

// drawTold tells where the time of the take went.
func (p Page) drawTold(c *draw.Canvas) {
	stage.Title(c, stage.Box{W: p.width, H: min(p.height, 1)}, p.title(), p.opt.By, p.warning())
	p.drawRows(c, p.toldTexts(), p.lastTold())
	k := p.opt.Keys
	k.Down.SetEnabled(p.top < p.lastTold())
	k.Up.SetEnabled(p.top > 0)
	k.Undo.SetEnabled(p.told.Ending == routine.Finished)
	p.drawKeys(c, k.Over())
}

// drawKeys draws the keys into the last row.
func (p Page) drawKeys(c *draw.Canvas, keys []key.Binding) {
	if p.height > 1 {
		c.Help(p.height-1, keys)
	}
}

func (p Page) toldTexts() []stage.Text { return Debrief(p.told, p.width) }

// lastTold is the topmost row at the end of scrolling.
func (p Page) lastTold() int { return max(len(p.toldTexts())-(p.height-readyRows), 0) }

// Debrief tells what became of a take in rows of a width: how it ended and what
// it cost, its sections, where the time was lost.
func Debrief(r routine.Result, width int) (out []stage.Text) {
	add := func(role draw.Role, text string) {
		if text == "" {
			out = append(out, stage.Text{})
		}
		for _, row := range draw.Wrap(text, max(width, 1)) {
			out = append(out, stage.Text{Text: row, Role: role})
		}
	}
	add(draw.Strong, headline(r))
	add(draw.Plain, "")
	out = append(out, sectionRows(r, width)...)
	add(draw.Plain, "")
	for _, text := range lost(r) {
		add(draw.Plain, text)
	}
	return out
}

// headline is how the take ended and what it cost.
func headline(r routine.Result) string {
	at := tenths(counted(r, r.Ended))
	switch r.Ending {
	case routine.Stopped:
		return "stopped at " + at
	case routine.Running:
		return "cut off at " + at
	}
	drift, _ := r.Drift()
	text := fmt.Sprintf("finished at %s, %s %s", at, brew.Signed(drift), beside(drift))
	switch over := r.Length() - r.Plan.Limit; {
	case r.Partial:
		return text + "; a part of the routine has no penalty"
	case over <= 0:
		return text + fmt.Sprintf("; %s under the limit, no penalty", strings.TrimPrefix(brew.Signed(-over), "+"))
	default:
		return text + fmt.Sprintf("; %s over the limit: %s", strings.TrimPrefix(brew.Signed(counted(r, over)), "+"), r.Penalty)
	}
}

// counted returns a time to a tenth of a second so that the seconds that cost
// points can be read from it: past the limit it is rounded up where a second
// counts as soon as it has begun, down where it must be complete.
func counted(r routine.Result, d time.Duration) time.Duration {
	const tenth = 100 * time.Millisecond
	switch {
	case r.Partial || r.Ending != routine.Finished || r.Length() <= r.Plan.Limit:
		return d
	case r.Plan.Rules.Count == routine.Completed:
		return d.Truncate(tenth)
	}
	return (d + tenth - 1).Truncate(tenth)
}

// beside says on which side of what is written a drift is.
func beside(drift time.Duration) string {
	return routine.Standing{Known: true, By: drift}.Word()
}

// The columns of the sections.
const (
	figureWidth = 9
	leastName   = 8
	wideTold    = 60 // from which on what is written has its column
)

// sectionRows is a row for each section that was run.
func sectionRows(r routine.Result, width int) (out []stage.Text) {
	name := 0
	for _, s := range r.Sections {
		name = max(name, draw.Width(s.Name))
	}
	columns := 4
	if width < wideTold {
		columns = 3
	}
	name = max(min(name, width-columns*figureWidth), leastName)
	row := func(role draw.Role, text string, figures ...string) {
		text = draw.Fit(text, name)
		text += strings.Repeat(" ", name-draw.Width(text))
		for _, f := range figures[len(figures)-columns:] {
			text += fmt.Sprintf("%*s", figureWidth, f)
		}
		out = append(out, stage.Text{Text: draw.Fit(text, width), Role: role})
	}
	row(draw.Faint, "section", "written", "took", "by", "slip")
	for i := r.Options.From; i <= r.Options.To; i++ {
		s := r.Sections[i]
		took, by, role := "-", "-", draw.Plain
		if s.Known {
			took, by = tenths(s.Took), brew.Signed(s.Took-s.Written)
			role = standingRole(routine.Standing{Known: true, By: (s.Took - s.Written).Round(time.Second)})
		}
		slip := "-"
		if s.Slip.Marks > 0 {
			slip = brew.Signed(s.Slip.Slip)
		}
		row(role, s.Name, tenths(s.Written), took, by, slip)
	}
	return out
}

// mostLost is how many of the marks that cost most are told.
const mostLost = 5

// lost says where the time was lost.
func lost(r routine.Result) (out []string) {
	worst := -1
	for i, s := range r.Sections {
		if s.Known && s.Took-s.Written >= routine.LeastLost && (worst < 0 || s.Took-s.Written > r.Sections[worst].Took-r.Sections[worst].Written) {
			worst = i
		}
	}
	known := slices.ContainsFunc(r.Sections, func(s routine.Timed) bool { return s.Known })
	switch {
	case worst >= 0:
		out = append(out, fmt.Sprintf("most time was lost in %s: %s", r.Sections[worst].Name, brew.Signed(r.Sections[worst].Took-r.Sections[worst].Written)))
	case known:
		out = append(out, "no section lost time")
	}
	out = append(out, fmt.Sprintf("slip of what is said %s, of the hands %s, of the beds %s", sum(r.Talk), sum(r.Hands), sum(r.Bed)))
	marks := slices.DeleteFunc(slices.Clone(r.Marks), func(m routine.Mark) bool { return !m.Known || m.Slip() < routine.LeastLost })
	slices.SortStableFunc(marks, func(a, b routine.Mark) int { return cmp.Compare(b.Slip(), a.Slip()) })
	for _, m := range marks[:min(len(marks), mostLost)] {
		out = append(out, fmt.Sprintf("- %s at %s: %s", draw.OneLine(m.Name), tenths(m.Marked), brew.Signed(m.Slip())))
	}
	if n := unmarked(r); n > 0 {
		out = append(out, fmt.Sprintf("%d of %d asked marks were not made", n, asked(r)))
	}
	return out
}

// sum is a sum of slips in words.
func sum(s routine.Sum) string {
	if s.Marks == 0 {
		return "unknown (no mark)"
	}
	return fmt.Sprintf("%s (%d marked)", brew.Signed(s.Slip), s.Marks)
}

// asked counts what waited for a mark in the sections that were run, but for
// lines.
func asked(r routine.Result) (n int) {
	for _, m := range r.Marks {
		if waited(r, m) {
			n++
		}
	}
	return n
}

func unmarked(r routine.Result) (n int) {
	for _, m := range r.Marks {
		if waited(r, m) && !m.Known {
			n++
		}
	}
	return n
}

// waited reports whether a mark was waited for by the end of the take.
func waited(r routine.Result, m routine.Mark) bool {
	return m.Voice != routine.OfTalk && m.Voice != routine.OfCall && m.Called <= r.Ended && m.Section >= r.Options.From && m.Section <= r.Options.To
}

// tenths is a moment or a length on a clock to a tenth of a second.
func tenths(d time.Duration) string {
	d = d.Round(100 * time.Millisecond)
	return fmt.Sprintf("%s.%d", brew.Clock(d), d%time.Second/(100*time.Millisecond))
}
