package live

import (
	"fmt"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/stage"
)

// line is one line of text.
type line struct {
	text string
	role draw.Role
}

// readying is how the page is shared out while things are prepared: the
// heading is as large as the text leaves room for; where there is no room for
// all of the text, the chore to do now is in sight, and once all is ready the
// cautions are.
type readying struct {
	title    bool
	face     draw.Face // of the heading
	head     stage.Box // the recipe in figures
	chores   stage.Box
	cautions stage.Box // at the foot of the text; fewer rows than lines where they do not fit
	start    stage.Box // how to start, right above the keys
	help     bool
}

func (p Page) readying() readying {
	r := readying{title: p.height >= 14, help: p.height >= 6, face: draw.Line}
	y, foot := rowsOf(r.title), p.height-rowsOf(r.help)
	r.start = stage.Box{X: 0, Y: foot - len(p.startLines()), W: p.width, H: len(p.startLines())}
	to := r.start.Y - rowsOf(p.height >= 20)
	chores, _ := p.choreLines()
	cautions, lanes := len(p.cautionLines()), len(p.opt.Plans)
	if p.height < 10 {
		lanes = 0
	}
	if f := draw.FaceFor("PREPARE", p.width, min(to-y-lanes-len(chores)-cautions-3, p.height/4), p.opt.Theme.ASCII); f > draw.Line {
		r.face = f
		y += 2 // a blank row above and below
	}
	y += int(r.face)
	r.head = stage.Box{X: 0, Y: y, W: p.width, H: max(min(lanes, to-y), 0)}
	y = r.head.Bottom()
	room := max(to-y, 0)
	share := min(cautions, max(room-len(chores), min(room/3, room-1), 0))
	if p.ready() {
		share = min(cautions, room)
	}
	r.chores = stage.Box{X: 0, Y: y, W: p.width, H: room - share}
	r.cautions = stage.Box{X: 0, Y: y + room - share, W: p.width, H: share}
	return r
}

func rowsOf(shown bool) int {
	if shown {
		return 1
	}
	return 0
}

// drawReady draws what to prepare, ticked off one by one, and then what to do
// as water meets coffee.
func (p Page) drawReady(c *draw.Canvas) {
	r := p.readying()
	if r.title {
		stage.Title(c, stage.Box{W: p.width, H: 1}, p.opt.Title, p.circumstances(), p.warning())
	}
	head, role := "PREPARE", draw.Plain
	if p.ready() {
		head, role = "READY", draw.Now
	}
	y := rowsOf(r.title)
	if r.face > draw.Line {
		y++
	}
	stage.Figure(c, 0, y, r.face, head, role, p.opt.Theme.ASCII)
	for i := range r.head.H {
		c.Text(0, r.head.Y+i, draw.Fit(stage.Lead(p.name(i))+figures(p.opt.Plans[i]), p.width), draw.Strong)
	}
	p.drawChores(c, r.chores)
	p.drawCautions(c, r.cautions)
	for i, l := range p.startLines() {
		c.Text(0, r.start.Y+i, draw.Fit(l.text, p.width), l.role)
	}
	if r.help {
		c.Help(p.height-1, p.preparingKeys())
	}
}

// drawChores draws what to prepare, the chore to do now in sight.
func (p Page) drawChores(c *draw.Canvas, b stage.Box) {
	chores, now := p.choreLines()
	from := max(0, min(now-b.H/2, len(chores)-b.H))
	for i := 0; i < b.H && from+i < len(chores); i++ {
		c.Text(0, b.Y+i, chores[from+i].text, chores[from+i].role)
	}
}

// drawCautions draws the words of care, from the line on that the person has
// moved to.
func (p Page) drawCautions(c *draw.Canvas, b stage.Box) {
	lines := p.cautionLines()
	top := min(p.top, max(len(lines)-b.H, 0))
	for i := range b.H {
		l := lines[top+i]
		if below := len(lines) - top - i; i > 0 && i == b.H-1 && below > 1 {
			l = line{draw.Fit(fmt.Sprintf("! %d more lines, %s key", below, p.opt.Keys.Down.Help().Key), p.width), draw.Caution}
		}
		c.Text(0, b.Y+i, l.text, l.role)
	}
}

// turn moves the words of care by a line.
func (p Page) turn(by int) Page {
	last := max(len(p.cautionLines())-p.readying().cautions.H, 0)
	p.top = max(min(p.top+by, last), 0)
	return p
}

// choreLines returns the things to prepare, wrapped to the screen, and the
// line of the one to do now.
func (p Page) choreLines() (lines []line, now int) {
	for i, chore := range p.chores() {
		lead, role := "  [ ] ", draw.Plain
		switch {
		case i < p.ticked:
			lead, role = "  [x] ", draw.Faint
		case i == p.ticked:
			lead, role, now = "> [ ] ", draw.Strong, len(lines)
		}
		for _, text := range draw.Wrap(chore.Do, p.width-len(lead)) {
			lines = append(lines, line{draw.Fit(lead+text, p.width), role})
			lead = "      "
		}
	}
	if p.ready() {
		now = len(lines)
	}
	return lines, now
}

// chores returns the things to prepare of every lane.
func (p Page) chores() []brew.Chore {
	var all []brew.Chore
	for i, plan := range p.opt.Plans {
		for _, chore := range plan.Prepare {
			chore.Do = stage.Lead(p.name(i)) + chore.Do
			all = append(all, chore)
		}
	}
	return all
}

// startLines says how the clock is started and with what; before all is
// ready, what comes then.
func (p Page) startLines() []line {
	lane := 0
	prompt := p.opt.Plans[lane].Cues[p.first(lane)].Prompt
	if !p.ready() {
		return p.two("next", prompt, draw.Plain)
	}
	key := p.opt.Keys.Mark.Help().Key
	how := key + " as water meets coffee"
	switch {
	case p.opt.CountIn > 0:
		how = key + " counts in " + brew.Spoken(p.opt.CountIn)
	case p.opt.From > 0:
		how = fmt.Sprintf("%s starts the clock at %s", key, brew.Clock(p.opt.From))
	}
	return p.two(how, prompt, draw.Now)
}

// two returns one line where both texts fit into it, else two or more.
func (p Page) two(lead, prompt string, role draw.Role) []line {
	if whole := lead + ": " + prompt; draw.Width(whole) <= p.width {
		return []line{{whole, role}}
	}
	lines := []line{{lead, role}}
	for _, text := range draw.Wrap(prompt, p.width) {
		lines = append(lines, line{text, role})
	}
	return lines
}

// cautionLines gathers the words of care of the whole brew, each once.
func (p Page) cautionLines() []line {
	var out []line
	seen := map[string]bool{}
	for i, plan := range p.opt.Plans {
		for _, cue := range plan.Cues {
			if cue.Caution != "" && !seen[cue.Caution] {
				seen[cue.Caution] = true
				out = append(out, p.wrapped("! ", stage.Lead(p.name(i))+cue.Name+": "+cue.Caution, draw.Caution)...)
			}
		}
	}
	return out
}
