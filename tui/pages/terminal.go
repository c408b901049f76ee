package pages

import (
	"fmt"
	"slices"
	"time"

	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/probe"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
)

// TerminalKeys are the keys of the page that looks at the terminal.
type TerminalKeys struct{ Mark, Bell, Again, Down, Up, Leave key.Binding }

// NewTerminalKeys returns the keys of that page. A key that marks is there to
// be tried and does nothing else.
func NewTerminalKeys(mark key.Binding) TerminalKeys {
	bind := func(desc string, names ...string) key.Binding {
		names = slices.DeleteFunc(names, func(k string) bool { return slices.Contains(mark.Keys(), k) })
		return key.NewBinding(key.WithKeys(names...), key.WithHelp(names[0], desc))
	}
	mark.SetHelp(mark.Help().Key, "try it")
	return TerminalKeys{
		Mark:  mark,
		Bell:  bind("bell", "b", "s"), // the second of each can never be a key that marks
		Again: bind("again", "a", "z"),
		Down:  bind("more", "down", "j", "tab"),
		Up:    bind("back up", "up", "k"),
		Leave: bind("leave", "q", "ctrl+c"), // not esc, which may be the first of an answer that was torn
	}
}

// Bindings returns every key, in the order of the help.
func (k TerminalKeys) Bindings() []key.Binding {
	return []key.Binding{k.Leave, k.Down, k.Up, k.Bell, k.Mark, k.Again}
}

// TerminalOptions is what the page is opened with.
type TerminalOptions struct {
	Facts   probe.Facts
	Keys    TerminalKeys
	Asker   *probe.Asker        // nil where the terminal is asked nothing
	Synced  func() bool         // whether the terminal has said that it knows synchronised output
	Ring    func(strokes int)   // rings the bell, at once
	Journal func() probe.Writes // measures the journal; asked from a command
}

// measuring is what is being measured.
type measuring uint8

const (
	nothingYet measuring = iota
	theWidths
	theDelays
	theJournal
	allMeasured
)

// Terminal is the page that says what the terminal can do, and measures it.
type Terminal struct {
	opt           TerminalOptions
	report        probe.Report
	measuring     measuring
	moment        int // that is shown, from 1; 0 for none
	guard         keys.Guard
	at            terminalStop // that stands at the top
	width, height int
}

// NewTerminal returns the page. It begins to measure when it is told its size.
func NewTerminal(opt TerminalOptions) Terminal {
	return Terminal{opt: opt, report: probe.Report{Facts: opt.Facts}}
}

// Report returns what is known by now.
func (p Terminal) Report() probe.Report { return p.report }

type (
	// widthsMsg is what the terminal answered to how wide signs are.
	widthsMsg struct {
		widths probe.Widths
		synced bool
	}
	// momentMsg is that a moment has come, which the next frame shows.
	momentMsg struct{ question *probe.Question }
	// answeredMsg is how long after its moment the frame was answered.
	answeredMsg struct {
		due, took time.Duration
		how       probe.Heard
		synced    bool
	}
	// writtenMsg is how long the journal's writes took.
	writtenMsg struct{ writes probe.Writes }
)

// Resize tells the page how many cells it may draw on; told is that the
// terminal itself says so. With the first size it begins to measure.
func (p Terminal) Resize(width, height int, told bool) (Terminal, tea.Cmd) {
	p.width, p.height = max(width, 0), max(height, 0)
	p.report.Width, p.report.Height = 0, 0
	if told {
		p.report.Width, p.report.Height = p.width, p.height
	}
	if p.measuring == nothingYet {
		return p.measure()
	}
	return p, nil
}

// Update answers a message.
func (p Terminal) Update(msg tea.Msg) (Terminal, tea.Cmd) {
	switch msg := msg.(type) {
	case keys.Press:
		return p.press(msg)
	case widthsMsg:
		p.report.Widths, p.report.Synced = &msg.widths, msg.synced
		return p.measureDelays()
	case momentMsg:
		p.moment++
		return p, p.answer(msg.question)
	case answeredMsg:
		p.report.Synced = msg.synced
		if p.report.Delays = p.report.Delays.With(msg.took, msg.how); p.report.Delays.Over() {
			return p.measureJournal()
		}
		return p, p.next(msg.due)
	case writtenMsg:
		p.report.Writes, p.measuring = &msg.writes, allMeasured
	}
	return p, nil
}

// press answers a key. One that means nothing here is shown, for a foot switch
// may send it; one that is held down is one.
func (p Terminal) press(k keys.Press) (Terminal, tea.Cmd) {
	if k.Paste {
		return p, nil
	}
	b := p.opt.Keys
	marks := k.Is(b.Mark)
	if marks || !k.Is(b.Bindings()...) {
		p.report.Hand = p.report.Hand.Press(k, marks)
		return p.turnTo(probe.PartKeys), nil
	}
	var counts bool
	p.guard, counts = p.guard.Admit(k, keys.Hold)
	switch {
	case k.Is(b.Leave):
		return p, left
	case k.Is(b.Down):
		p.at = p.layout().beside(p.at, 1)
	case k.Is(b.Up):
		p.at = p.layout().beside(p.at, -1)
	case k.Is(b.Bell) && counts && p.report.Bell:
		p.report.Rings++
		return p.turnTo(probe.PartBell), p.ring
	case k.Is(b.Again) && counts && p.measuring == allMeasured:
		return p.measure()
	}
	return p, nil
}

func (p Terminal) ring() tea.Msg {
	p.opt.Ring(probe.BellStrokes)
	return nil
}

// measure measures all that needs no person, one after the other: what the
// one does must not disturb the other.
func (p Terminal) measure() (Terminal, tea.Cmd) {
	p.report.Widths, p.report.Delays, p.report.Writes, p.report.NotAsked = nil, probe.Delays{}, nil, ""
	switch asker, height := p.opt.Asker, p.height; {
	case asker == nil:
		p.report.NotAsked = probe.NoReports
	case !probe.Fits(p.width, p.height):
		p.report.NotAsked = probe.TooSmall
	case p.report.UTF8:
		p.measuring = theWidths
		return p, func() tea.Msg { return widthsMsg{asker.Widths(probe.Signs(), height), p.opt.Synced()} }
	default:
		return p.measureDelays()
	}
	return p.measureJournal()
}

func (p Terminal) measureDelays() (Terminal, tea.Cmd) {
	p.measuring, p.moment = theDelays, 0
	return p, p.next(0)
}

// next waits for the moment after the one before.
func (p Terminal) next(before time.Duration) tea.Cmd {
	asker, n, text, width := p.opt.Asker, p.moment, momentText(p.moment+1), p.width
	return func() tea.Msg { return momentMsg{asker.Moment(n, before, text, width)} }
}

// momentText is what is new on the screen at a moment, counted from 1.
func momentText(n int) string { return fmt.Sprintf("moment %d of %d", n, probe.Moments) }

// answer waits for the terminal's answer.
func (p Terminal) answer(q *probe.Question) tea.Cmd {
	synced := p.opt.Synced
	return func() tea.Msg {
		took, how := q.Wait()
		return answeredMsg{q.Due, took, how, synced()}
	}
}

func (p Terminal) measureJournal() (Terminal, tea.Cmd) {
	p.measuring = theJournal
	measure := p.opt.Journal
	return p, func() tea.Msg { return writtenMsg{measure()} }
}

// status says what is being measured.
func (p Terminal) status() (string, draw.Role) {
	switch p.measuring {
	case theWidths:
		return "measuring signs", draw.Now
	case theDelays:
		return momentText(p.moment), draw.Now
	case theJournal:
		return "measuring the disk", draw.Now
	}
	return "measured", draw.OnTime
}
