package service

import (
	"fmt"

	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/stage"

	"github.com/charmbracelet/bubbles/key"
)

// footKeys returns the keys that do something, the most wanted first. With
// several persons each has a mark key of their own.
func (p Page) footKeys() []key.Binding {
	k, people := p.opt.Keys, p.service.People()
	k.Dose.SetEnabled(p.opt.Scale != nil)
	all := k.Serving()
	if len(people) == 1 {
		return all
	}
	var own []key.Binding
	for i, person := range k.markers(len(people)) {
		mark, whose := k.Mark.Keys()[i], "mark"
		switch {
		case person >= 0:
			whose = draw.Fit(people[person], nameWidth) + "'s mark"
		case i >= len(people):
			continue // it marks, too, but the others say more
		}
		own = append(own, key.NewBinding(key.WithKeys(mark), key.WithHelp(keys.Name(mark), whose)))
	}
	return append(own, all[1:]...)
}

// markKey is what the mark key of one of the persons is called.
func (p Page) markKey(person int) string {
	if people := len(p.service.People()); people > 1 {
		for i, whose := range p.opt.Keys.markers(people) {
			if whose == person {
				return keys.Name(p.opt.Keys.Mark.Keys()[i])
			}
		}
	}
	return p.opt.Keys.Mark.Help().Key
}

// keyTexts says what each key does.
func (p Page) keyTexts() (out []string) {
	for _, b := range p.footKeys() {
		if b.Enabled() {
			out = append(out, b.Help().Key+" "+b.Help().Desc)
		}
	}
	return out
}

// packed puts texts into rows of a width, with two blanks between.
func packed(texts []string, width int) (rows []string) {
	for _, text := range texts {
		last := len(rows) - 1
		if last >= 0 && draw.Width(rows[last])+2+draw.Width(text) <= width {
			rows[last] += "  " + text
			continue
		}
		rows = append(rows, draw.Fit(text, width))
	}
	return rows
}

// drawChoices draws what can be chosen right above the question, on as many
// rows as that takes, but never over a cue.
func (p Page) drawChoices(c *draw.Canvas) {
	rows := packed(p.choices(), p.width)
	from := max(p.height-1-len(rows), p.belowCues())
	for y := from; y < p.height-1; y++ {
		p.blank(c, y)
		c.Text(0, y, rows[y-from], draw.Strong)
	}
}

// belowCues returns the first row that no cue stands on, or the last but one of
// the screen.
func (p Page) belowCues() int {
	y := stage.Lay(p.width, p.height, p.needs, p.opt.Theme.ASCII)[stage.CarePart].Y
	return max(min(y, p.height-2), 0)
}

// choices returns what a lane's key or a digit chooses at the moment.
func (p Page) choices() []string {
	switch p.ask.what {
	case adding, dosing:
		return p.menuChoices()
	case choosing:
		return p.orderChoices()
	}
	return nil
}

func (p Page) blank(c *draw.Canvas, y int) {
	for x := range p.width {
		c.Set(x, y, 0, draw.Plain)
	}
}

// drawHelp draws one page of the keys below the cues.
func (p Page) drawHelp(c *draw.Canvas) {
	if p.help == 0 || p.ask.what != nothing {
		return
	}
	from := p.belowCues()
	rows := max(p.height-1-from, 1)
	lines := packed(p.keyTexts(), p.width)
	pages := (len(lines) + rows - 1) / rows
	first := (p.help - 1) % pages * rows
	for y := from; y < p.height; y++ {
		p.blank(c, y)
		if i := first + y - from; y < p.height-1 && i < len(lines) {
			c.Text(0, y, lines[i], draw.Plain)
		}
	}
	text := fmt.Sprintf("page %d of %d, %s more, %s closes", (p.help-1)%pages+1, pages, p.opt.Keys.Help.Help().Key, p.opt.Keys.Back.Help().Key)
	if pages == 1 {
		text = p.opt.Keys.Back.Help().Key + " closes"
	}
	c.Text(0, p.height-1, draw.Fit(text, p.width), draw.Faint)
}
