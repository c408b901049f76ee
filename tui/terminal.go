package tui

import (
	"os"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"barline/tui/draw"
	_ "barline/tui/ground" // before the terminal library can ask the terminal
	"barline/tui/keys"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/term"
	"github.com/muesli/termenv"
)

// Terminal is the file that the program draws on. Writes are whole, so that
// the bell never lands inside a frame, and wait for nothing. It embeds the
// file for the library to see that it is a terminal.
type Terminal struct {
	*os.File
	out   outbox
	bells chan bell

	in     *os.File    // where keys come from; nil where only the bell is used
	keys   *keyboard   // that reads them
	before *term.State // of in, as it was found
	synced atomic.Bool // the terminal knows synchronised output

	openSince atomic.Int64 // when it was asked what it has not answered, in nanoseconds since 1970; 0 for nothing

	question atomic.Pointer[string] // that goes out behind the next frame; nil for none
	ascii    bool                   // the locale says that it knows ASCII alone
	gone     func()                 // called when no more keys can come

	guarding sync.Mutex
	onPanic  func(why any, stack []byte) // what a panic in one of the program's own goroutines does
}

// guard runs a goroutine whose panic ends the program like any other: the
// terminal is restored first.
func (t *Terminal) guard(do func()) {
	go func() {
		defer func() {
			why := recover()
			if why == nil {
				return
			}
			t.restore()
			t.guarding.Lock()
			end := t.onPanic
			t.guarding.Unlock()
			if end == nil {
				panic(why)
			}
			end(why, debug.Stack())
		}()
		do()
	}()
}

// bell is a number of strokes and when they were wanted.
type bell struct {
	strokes int
	at      time.Time
}

// A bell that comes later than this is not rung; between two strokes there is
// a gap so that they are heard as two.
const (
	bellLatest = 250 * time.Millisecond
	bellGap    = 180 * time.Millisecond
)

// NewTerminal returns the terminal on a file. It is written to, and its bell
// rings, from goroutines of their own until the process ends.
func NewTerminal(f *os.File) *Terminal {
	t := &Terminal{File: f, bells: make(chan bell, 1)}
	t.out.write, t.out.wake = t.send, make(chan struct{}, 1)
	t.guard(t.out.run)
	t.guard(t.ring)
	return t
}

// Write takes a frame, which is then written in one piece. The error is that
// of the write before.
func (t *Terminal) Write(b []byte) (int, error) {
	if len(b) == 0 {
		return 0, nil
	}
	if err := t.out.post(parcel{text: slices.Clone(b)}); err != nil {
		return 0, err
	}
	return len(b), nil
}

// WriteString is Write: the library writes its codes by it, and the file's own
// would go past what waits.
func (t *Terminal) WriteString(s string) (int, error) { return t.Write([]byte(s)) }

// send writes one thing.
func (t *Terminal) send(p parcel) error {
	text := p.text
	if !p.bell && !isControl(text) {
		text = t.frame(text)
	}
	_, err := t.File.Write(text)
	return err
}

// frame returns a frame as the terminal can take it, with what it is to be
// asked behind it.
func (t *Terminal) frame(text []byte) []byte {
	if t.ascii {
		text = []byte(asASCII(string(text)))
	}
	if t.synced.Load() {
		text = slices.Concat([]byte(syncBegin), text, []byte(syncEnd))
	}
	if q := t.question.Swap(nil); q != nil {
		text = append(slices.Clip(text), *q...)
		t.asked()
	}
	return text
}

// Ring rings the bell without waiting for it. One that is still to be rung
// makes way.
func (t *Terminal) Ring(strokes int) {
	select {
	case <-t.bells:
	default:
	}
	select {
	case t.bells <- bell{strokes, time.Now()}:
	default:
	}
}

func (t *Terminal) ring() {
	for b := range t.bells {
		for i := range b.strokes {
			if i > 0 {
				time.Sleep(bellGap)
			}
			due := b.at.Add(time.Duration(i) * bellGap)
			t.out.post(parcel{text: []byte("\a"), bell: true, latest: due.Add(bellLatest)})
		}
	}
}

// Look returns the theme for what the environment says of the terminal: the
// colours it can show, whether its ground is dark (theme is auto, dark or
// light), whether it shows more than ASCII, and that in one cell a character.
// The terminal is asked nothing.
func Look(theme string, getenv func(string) string) draw.Theme {
	profile := termenv.NewOutput(os.Stdout, termenv.WithEnvironment(environ(getenv)), termenv.WithTTY(true)).EnvColorProfile()
	t := draw.NewTheme(dark(theme, getenv), profile)
	t.ASCII = !saysUTF8(getenv) || draw.WideBlocks()
	return t
}

// dark reports whether the ground is dark. COLORFGBG ends in the ground's
// number, of which 7 and 9 to 15 are light.
func dark(theme string, getenv func(string) string) bool {
	switch theme {
	case "dark":
		return true
	case "light":
		return false
	}
	field := getenv("COLORFGBG")
	switch ground := field[strings.LastIndex(field, ";")+1:]; ground {
	case "7", "9", "10", "11", "12", "13", "14", "15":
		return false
	}
	return true
}

// saysUTF8 reports whether the locale says UTF-8, or nothing at all.
func saysUTF8(getenv func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if locale := strings.ToUpper(getenv(name)); locale != "" {
			return strings.Contains(locale, "UTF-8") || strings.Contains(locale, "UTF8")
		}
	}
	return true
}

// environ lets the library read the environment it is given.
type environ func(string) string

func (e environ) Environ() []string         { return nil }
func (e environ) Getenv(name string) string { return e(name) }

// NewProgram returns the program, ready to run.
func NewProgram(m Model, options ...tea.ProgramOption) *tea.Program {
	return tea.NewProgram(m, append([]tea.ProgramOption{tea.WithAltScreen(), tea.WithFilter(door(m.opt.Now))}, options...)...)
}

// repaintMsg asks for the whole screen once more.
type repaintMsg struct{}

// door stamps keys with the moment they come in, and gives a terminal that does
// not tell its size one, for the library that draws as well as for the pages.
// That the size is told again makes the library draw the whole screen.
func door(now func() time.Duration) func(tea.Model, tea.Msg) tea.Msg {
	size := tea.WindowSizeMsg{Width: defaultWidth, Height: defaultHeight}
	return func(_ tea.Model, msg tea.Msg) tea.Msg {
		switch msg := msg.(type) {
		case tea.KeyMsg:
			return keys.Press{KeyMsg: msg, At: now()}
		case tea.WindowSizeMsg:
			if msg.Width <= 0 || msg.Height <= 0 {
				msg = tea.WindowSizeMsg{Width: defaultWidth, Height: defaultHeight}
			}
			size = msg
			return msg
		case repaintMsg:
			return size
		}
		return msg
	}
}
