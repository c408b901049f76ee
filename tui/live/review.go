package live

import (
	"fmt"
	"strings"

	"barline/brew"
	"barline/brew/drift"
	"barline/tui/draw"
	"barline/tui/stage"
)

// review is what the debrief's screen is made of: rows that stay, and rows
// that move under them where they are more than the screen holds.
type review struct {
	fixed []line
	rows  []line
	from  int // the screen's row at which rows begin
	to    int // the one behind them
	last  int // the topmost row at the end of scrolling
}

// review lays the debrief of the lane that is shown out on the screen.
func (p Page) review() review {
	d := p.debriefOf(p.report.lane)
	v := review{to: p.height}
	if p.height >= 3 {
		v.to-- // the keys
	}
	if p.report.field != rowsOnly || p.asking != nothing {
		v.to -= max(len(p.measuredLines()), 1)
	}
	if p.record.Fault() != nil { // why a reading is not saved stands beside it
		v.head(p.height/4, p.wrapped("", p.warning(), draw.Caution))
	}
	if p.height >= leastHead {
		v.head(p.height/4, p.wrapped("", stage.Lead(p.name(p.report.lane))+p.opt.Title+", "+p.outcome(), draw.Strong))
	}
	v.head(p.height/4, p.wrapped("", d.Sentence.Text, draw.Now))
	v.rows = append(v.rows, p.tableOf(d)...)
	v.from = len(v.fixed)
	if p.height >= 20 {
		v.from++
	}
	v.last = max(0, len(v.rows)-(v.to-v.from))
	return v
}

// leastHead is the height from which on there is room for more than what the
// rows say.
const leastHead = 10

// head adds lines that stay if they do not take more than some rows, else as
// the first ones of those that move.
func (v *review) head(most int, lines []line) {
	if len(v.rows) == 0 && len(v.fixed)+len(lines) <= most {
		v.fixed = append(v.fixed, lines...)
		return
	}
	v.rows = append(v.rows, lines...)
}

// wrapped returns a text as lines of the screen's width, those behind the
// first one indented by as much as the lead is wide.
func (p Page) wrapped(lead, text string, role draw.Role) []line {
	var out []line
	for _, text := range draw.Wrap(text, p.width-draw.Width(lead)) {
		out = append(out, line{draw.Fit(lead+text, p.width), role})
		lead = strings.Repeat(" ", draw.Width(lead))
	}
	return out
}

// tableOf returns the table and what follows it, line by line.
func (p Page) tableOf(d drift.Debrief) []line {
	rows := []line{{draw.Fit(p.tableHead(), p.width), draw.Faint}}
	for _, r := range d.Rows {
		rows = append(rows, p.tableRow(r)...)
	}
	for _, l := range d.Lengths {
		rows = append(rows, p.wrapped("", l.Name+": "+l.Word(), draw.Plain)...)
	}
	if d.Contact != nil {
		rows = append(rows, p.wrapped("", "contact: "+d.Contact.Word(), draw.Plain)...)
	}
	for i, said := range p.opt.Said {
		if i == 0 {
			rows = append(rows, line{draw.Fit("in the record", p.width), draw.Faint})
		}
		rows = append(rows, p.wrapped("  ", said, draw.Plain)...)
	}
	rows = append(rows, p.cupOf(d)...)
	for i, chore := range p.opt.Plans[p.report.lane].Afterwards {
		if i == 0 {
			rows = append(rows, line{draw.Fit("afterwards", p.width), draw.Faint})
		}
		rows = append(rows, p.wrapped("  ", chore.Do, draw.Plain)...)
	}
	return rows
}

const (
	nameWidth  = 22                                      // of the column of beats
	timesWidth = nameWidth + 4*9 + 2                     // of all columns but the last
	wideTable  = timesWidth + len("+2.4 s on time, the") // below it only the drift is shown
)

func (p Page) tableHead() string {
	if p.width >= wideTable {
		return fmt.Sprintf("%-*s %8s %8s %8s %8s  %s", nameWidth, "beat", "written", "called", "marked", "slip", "drift")
	}
	return "beat: drift"
}

// tableRow returns the row of a beat. What does not fit behind its name or
// its times goes below.
func (p Page) tableRow(r drift.Row) []line {
	role := stage.VerdictRole(r.Cup)
	if p.width >= wideTable {
		return p.wrapped(times(r), r.Word().String(), role)
	}
	if whole := r.Name + ": " + r.Word().String(); draw.Width(whole) <= p.width {
		return []line{{whole, role}}
	}
	return append(p.wrapped("", r.Name+":", role), p.wrapped("  ", r.Word().String(), role)...)
}

// times returns the name and the times of a row in columns.
func times(r drift.Row) string {
	marked, slip := "-", "-"
	if r.IsMarked() {
		marked, slip = brew.Exact(drift.Tenths(r.Marked)), brew.Signed(drift.Tenths(r.Slip))
	}
	name := draw.Fit(r.Name, nameWidth)
	name += strings.Repeat(" ", nameWidth-draw.Width(name))
	return fmt.Sprintf("%s %8s %8s %8s %8s  ", name, brew.Exact(drift.Tenths(r.Written)), brew.Exact(drift.Tenths(r.Called)), marked, slip)
}

// outcome is how the brew ended, in words.
func (p Page) outcome() string {
	how, at, why := p.timeline.Lane(p.report.lane).Ending()
	switch {
	case how == brew.Running && p.past && !p.opt.CutOff:
		return "still running"
	case how == brew.Running:
		return string(drift.CutOff)
	}
	text := string(how) + " at " + brew.Clock(at)
	if why != "" {
		text += ": " + why
	}
	return text
}

func (p Page) drawDebrief(c *draw.Canvas) {
	v := p.review()
	for y, l := range v.fixed {
		c.Text(0, y, l.text, l.role)
	}
	if height := p.pictureHeight(v); height > 0 {
		c.Draw(0, v.from, draw.Timeline(p.width, height, p.picture(p.pace.At(p.now)), p.opt.Theme.ASCII))
		v.from += height + 1
	}
	v.draw(c, min(p.report.top, v.last))
	p.drawForm(c, v.to)
}

// pictureHeight returns how much of the height the timeline may take: what
// the rows leave, with a blank one between.
func (p Page) pictureHeight(v review) int {
	room := v.to - v.from - len(v.rows) - 1
	if room < 4*p.timeline.Lanes() {
		return 0
	}
	return min(room, max(8*p.timeline.Lanes(), p.height/3))
}

// draw draws the rows from the topmost one on. The last one tells how many
// there are below it.
func (v review) draw(c *draw.Canvas, top int) {
	height := v.to - v.from
	for i := 0; i < height && top+i < len(v.rows); i++ {
		l := v.rows[top+i]
		if below := len(v.rows) - top - i; i > 0 && i == height-1 && below > 1 {
			l = line{draw.Fit(fmt.Sprintf("%d more below, arrow keys move", below), c.Width), draw.Faint}
		}
		c.Text(0, v.from+i, l.text, l.role)
	}
}

// drawForm draws the reading that is asked for, or all of them, and the keys
// below.
func (p Page) drawForm(c *draw.Canvas, y int) {
	foot, r := p.height-1, p.report
	switch {
	case p.asking != nothing:
		p.question().Draw(c, y)
	case r.asks():
		stage.Typing(c, y, r.label(p.width), p.input)
	case r.taken():
		for i, l := range p.measuredLines() {
			c.Text(0, y+i, l.text, l.role)
		}
	}
	switch {
	case foot <= y && p.report.field != rowsOnly, p.height < 3:
	case r.wrong != "":
		c.Text(0, foot, draw.Fit("! "+r.wrong, p.width), draw.Caution)
	case p.record.Closing():
		c.Text(0, foot, stage.Fitting(p.width, "waiting for the record; "+p.opt.Keys.Leave.Help().Key+" leaves without it", "waiting for the record"), draw.Caution)
	default:
		c.Help(foot, p.debriefKeys())
	}
}

// label says what is asked for, and what stands so far.
func (r report) label(width int) string {
	ask := Readings[r.field]
	label := ask.Prompt + ": "
	if now := ask.Now(r.reading); now != "" {
		label = stage.Fitting(max(width*2/3, width-12), ask.Prompt+" ("+now+" so far, "+TakesBack+" takes it back): ",
			ask.Prompt+" ("+now+" so far): ", now+" so far: ", label)
	}
	return label
}

// measuredLines says what was measured and whether that is in the record; where
// it is not, then why, on as many rows as that takes, up to a third of the
// screen.
func (p Page) measuredLines() []line {
	r := p.report
	if !r.taken() || p.asking != nothing {
		return nil
	}
	if r.fault == nil {
		return []line{{draw.Fit(p.kept()+readingText(r.reading), p.width), draw.Plain}}
	}
	var lines []line
	for _, text := range draw.WrapWhole("! not saved: "+readingText(r.reading)+": "+r.fault.Error(), p.width) {
		lines = append(lines, line{text, draw.Caution})
	}
	return lines[:min(len(lines), max(p.height/3, 1))]
}

// kept says whether the reading is in the record.
func (p Page) kept() string {
	switch {
	case p.report.saved:
		return "saved: "
	case p.opt.Recorder == nil:
		return "not recorded: "
	}
	return "[ ] "
}
