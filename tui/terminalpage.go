package tui

import (
	"os"
	"runtime"
	"time"

	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/pages"
	"barline/tui/probe"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/term"
	"github.com/muesli/termenv"
)

// TerminalFacts returns what the environment says of the terminal and what
// barline makes of it, for a theme that is auto, dark or light. The terminal
// is asked nothing.
func TerminalFacts(theme string, getenv func(string) string) probe.Facts {
	f := probe.Facts{Ground: "light", UTF8: saysUTF8(getenv), ASCII: Look(theme, getenv).ASCII}.From(getenv)
	if dark(theme, getenv) {
		f.Ground = "dark"
	}
	profile := termenv.NewOutput(os.Stdout, termenv.WithEnvironment(environ(getenv)), termenv.WithTTY(true)).EnvColorProfile()
	f.Colours = map[termenv.Profile]string{
		termenv.TrueColor: "24 bits", termenv.ANSI256: "256", termenv.ANSI: "16", termenv.Ascii: probe.NoColours,
	}[profile]
	return f
}

// LookOptions is what the page that looks at the terminal is opened with.
type LookOptions struct {
	Facts   probe.Facts
	Theme   draw.Theme
	Keys    pages.TerminalKeys
	Untold  bool                 // the terminal does not tell its size; LookAt finds out
	Journal func() probe.Writes  // measures the journal; asked from a command
	Now     func() time.Duration // elapsed time, asked by commands and at the door only

	broke func(why any, stack []byte) // what a panic in a command is told to
}

// LookAt shows the page that looks at the terminal until the person leaves it,
// and returns what was found. The terminal, the error and stuck are as Run
// has them.
func LookAt(t *Terminal, opt LookOptions, stuck func(code int)) (probe.Report, error) {
	asker := probe.NewAsker(t, opt.Now)
	if width, height, err := term.GetSize(t.Fd()); err == nil {
		opt.Untold = width <= 0 || height <= 0
	}
	w := newWatch(t, stuck)
	opt.broke = w.tell
	w.program = NewLook(opt, t.Ring, asker, t.synced.Load, tea.WithInput(listener{t.input(), asker}), tea.WithOutput(asking{t, asker}), tea.WithoutSignalHandler())
	w.waiting = asker.Waiting
	end, err := w.run()
	report := probe.Report{Facts: opt.Facts}
	if last, ok := end.(look); ok {
		report = last.page.Report()
	}
	return report, err
}

// NewLook returns that page as a program, ready to run.
func NewLook(opt LookOptions, ring func(strokes int), asker *probe.Asker, synced func() bool, options ...tea.ProgramOption) *tea.Program {
	if runtime.GOOS == "windows" {
		asker = nil // there keys do not come as bytes, and neither would the answers
	}
	page := pages.NewTerminal(pages.TerminalOptions{
		Facts: opt.Facts, Keys: opt.Keys, Asker: asker, Synced: synced, Ring: ring, Journal: opt.Journal,
	})
	return tea.NewProgram(look{page, opt.Theme, opt.Untold, opt.broke}, append([]tea.ProgramOption{tea.WithAltScreen(), tea.WithFilter(door(opt.Now))}, options...)...)
}

// look is the program of the one page.
type look struct {
	page   pages.Terminal
	theme  draw.Theme
	untold bool // the size is the one that was given for want of another
	broke  func(why any, stack []byte)
}

// Init waits for the size.
func (l look) Init() tea.Cmd { return nil }

// Update answers a message.
func (l look) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	var cmd tea.Cmd
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		l.untold = l.untold && msg.Width == defaultWidth && msg.Height == defaultHeight
		l.page, cmd = l.page.Resize(msg.Width, msg.Height, !l.untold)
		return l, watched(cmd, l.broke)
	case pages.LeftMsg:
		return l, tea.Quit
	case keys.Press:
		if msg.Type == tea.KeyCtrlZ {
			return l, suspend
		}
	}
	l.page, cmd = l.page.Update(msg)
	return l, watched(cmd, l.broke)
}

// View returns the screen with the theme's codes.
func (l look) View() string { return l.page.Render(l.theme) }

// asking is the terminal whose frames carry questions.
type asking struct {
	*Terminal
	asker *probe.Asker
}

// Write writes a frame, with a question behind it where there is one to ask.
func (a asking) Write(frame []byte) (int, error) { return a.asker.Write(frame) }

// listener is the keyboard without the answers among the keys.
type listener struct {
	*keyboard
	asker *probe.Asker
}

// Read passes on what is typed.
func (l listener) Read(b []byte) (int, error) {
	// What an answer kept back is read before must fit as well.
	n, err := l.keyboard.Read(b[:max(len(b)-probe.SiftRoom, 1)])
	return copy(b, l.asker.Sift(b[:n])), err
}
