package main

import (
	"strings"

	"barline/tui"
	"barline/tui/keys"
	"barline/tui/rehearsal"

	tea "github.com/charmbracelet/bubbletea"
)

// rehearsePlainHelp says what lines a rehearsal without a screen understands.
const rehearsePlainHelp = "empty: mark, or begin; l next line, t call time, u take back, s skip, e 1 s earlier, z zero again, 'n text' note, q stop or leave, y yes, r again"

// plainRehearsal rehearses as lines of text: the same page, told instead of
// drawn. At the end of the input the clock runs on until time is to be called.
func (a *app) plainRehearsal(opt rehearsal.Options) rehearsal.Page {
	opt.Keys.Mark.SetHelp("an empty line", opt.Keys.Mark.Help().Desc)
	page, out := rehearsal.New(opt), tui.ASCII(a.stdout, a.getenv)
	for _, text := range page.Opening() {
		say(out, "%s", text)
	}
	messages, lines := make(chan tea.Msg), linesOf(a.stdin)
	start := func(cmd tea.Cmd) {
		if cmd != nil {
			go func() { messages <- cmd() }()
		}
	}
	tell := func(msg tea.Msg) {
		next, cmd := page.Update(msg)
		for _, text := range next.News(page) {
			say(out, "%s", text)
		}
		page = next
		start(cmd)
	}
	last := "\n"
	press := func(line string) {
		line = strings.TrimSpace(line)
		if line == last {
			tell(keys.Press{KeyMsg: tea.KeyMsg{Type: tea.KeyF20}, At: a.now()}) // no key is held down between two lines
		}
		last = line
		for _, k := range plainKeys(line) {
			tell(keys.Press{KeyMsg: k, At: a.now()})
		}
	}
	for {
		select {
		case line, more := <-lines:
			if more {
				press(line)
				continue
			}
			lines = nil
		case msg := <-messages:
			switch msg := msg.(type) {
			case nil:
			case tea.BatchMsg:
				for _, cmd := range msg {
					start(cmd)
				}
			case rehearsal.LeftMsg:
				return page
			default:
				tell(msg)
			}
		}
		if lines == nil {
			atEnd(page, press)
		}
	}
}

// atEnd presses the keys that end a rehearsal whose input has ended, once time
// is to be called.
func atEnd(page rehearsal.Page, press func(string)) {
	switch {
	case page.Leaving():
	case page.Wants():
		press("q")
		press("y")
		press("q")
	case !page.Busy():
		press("q")
	}
}

// plainKeys returns the keys that a line of input stands for.
func plainKeys(line string) []tea.KeyMsg {
	letters := func(text string) tea.KeyMsg { return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(text)} }
	switch verb, text, _ := strings.Cut(line, " "); {
	case line == "":
		return []tea.KeyMsg{{Type: tea.KeyEnter}}
	case verb == "n":
		return []tea.KeyMsg{letters("n"), letters(text), {Type: tea.KeyEnter}}
	}
	return []tea.KeyMsg{letters(line)}
}
