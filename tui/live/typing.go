package live

import (
	"strings"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/keys"

	tea "github.com/charmbracelet/bubbletea"
)

// ask opens the line for typing, with what was typed when it was left. A lone
// escape is also how a key's code begins that comes in pieces, so that a line
// may be left without anybody having wanted to.
func (p Page) ask(what asking) Page {
	p.asking = what
	p.input.Reset()
	p.input.SetValue(p.drafts[what])
	p.input.Focus()
	return p
}

// typed edits the line; the brew goes on meanwhile. A line that is being
// typed when the brew ends stays open.
func (p Page) typed(k keys.Press) (Page, tea.Cmd) {
	p, ends := p.edit(k)
	if !ends {
		return p, nil
	}
	what := p.asking
	p.asking = nothing
	p.drafts[what] = ""
	switch {
	case k.Is(p.opt.Keys.Enter):
		return p.wrote(what, strings.TrimSpace(p.input.Value()))
	case what == reason && k.Type == tea.KeyCtrlC:
		return p.wrote(what, "") // whoever presses it three times wants to be out
	}
	return p.putAside(what), nil
}

// putAside keeps what was typed of a line that is left.
func (p Page) putAside(what asking) Page {
	p.drafts[what] = p.input.Value()
	if what == noting && p.drafts[what] != "" {
		p.notice = notice{"put aside; " + p.opt.Keys.Note.Help().Key + " goes on with the note", draw.Plain, p.now}
	}
	return p
}

// edit changes the line, or says that the key ends it. The end of a line is
// no repeat: enter held down must not go on to mark or leave out what comes
// behind the line.
func (p Page) edit(k keys.Press) (_ Page, ends bool) {
	ends = k.Is(p.opt.Keys.Enter, p.opt.Keys.Back)
	var counts bool
	if p.guard, counts = p.guard.Admit(k, keys.Hold); ends {
		return p, counts
	}
	p.input, _ = p.input.Update(k.KeyMsg)
	return p, false
}

// wrote makes an event of the line. Stopping counts from the moment at which
// it was confirmed, however long the reason took to type, and stops every
// lane.
func (p Page) wrote(what asking, text string) (Page, tea.Cmd) {
	at := p.pace.At(p.now)
	if what == noting {
		if text == "" {
			return p, nil
		}
		return p.apply(brew.Event{Kind: brew.EventNote, Lane: p.focus(at), At: at, Text: text, Source: brew.FromKey})
	}
	var cmds []tea.Cmd
	for i := range p.timeline.Lanes() {
		if p.running(i) {
			var cmd tea.Cmd
			p, cmd = p.fold(brew.Event{Kind: brew.EventStop, Lane: i, At: p.stopped, Text: text, Source: brew.FromKey})
			cmds = append(cmds, cmd)
		}
	}
	p, ended := p.finish()
	return p, tea.Batch(append(cmds, ended)...)
}
