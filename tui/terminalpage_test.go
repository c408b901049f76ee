package tui_test

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"barline/tui"
	"barline/tui/live"
	"barline/tui/pages"
	"barline/tui/probe"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/vt"
)

// emulated is a terminal that answers, in simulated time.
type emulated struct {
	mu     sync.Mutex
	screen *vt.Emulator
	silent bool
	away   time.Duration // how far it is: a frame and its answer take so long together
}

// Write takes no time, for the library draws with a lock held, behind which
// simulated time stands still.
func (e *emulated) Write(b []byte) (int, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.screen.Write(b)
}

func (e *emulated) text() string {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.screen.String()
}

// reply is what the emulator answers, and when that arrives.
type reply struct {
	text []byte
	at   time.Time
}

// answer types what the emulator answers, in pieces of some bytes. It is read
// at once, for the emulator waits for that.
func (e *emulated) answer(keys io.Writer, piece int) {
	replies := make(chan reply, 1000)
	go func() {
		defer close(replies)
		b := make([]byte, 256)
		for {
			n, err := e.screen.Read(b)
			if err != nil {
				return
			}
			replies <- reply{bytes.Clone(b[:n]), time.Now().Add(e.away)}
		}
	}()
	for r := range replies {
		if e.silent {
			continue
		}
		time.Sleep(time.Until(r.at))
		for rest := r.text; len(rest) > 0; rest = rest[min(piece, len(rest)):] {
			keys.Write(rest[:min(piece, len(rest))])
		}
	}
}

// sifting is a keyboard without the answers among the keys.
type sifting struct {
	io.Reader
	asker *probe.Asker
}

func (s sifting) Read(b []byte) (int, error) {
	n, err := s.Reader.Read(b[:len(b)-probe.SiftRoom])
	return copy(b, s.asker.Sift(b[:n])), err
}

// looked runs the page as a whole program in simulated time, has something
// done when all is measured, and returns the last screen and the report.
func looked(t *testing.T, e *emulated, piece int, facts probe.Facts, w, h int, do func(keys io.Writer)) (screen string, report probe.Report) {
	synctest.Test(t, func(t *testing.T) {
		began := time.Now()
		now := func() time.Duration { return time.Since(began) }
		e.screen = vt.NewEmulator(w, h)
		in, keys := io.Pipe()
		asker := probe.NewAsker(e, now)
		opt := tui.LookOptions{Facts: facts, Keys: pages.NewTerminalKeys(live.DefaultKeys().Mark), Now: now, Journal: func() probe.Writes {
			time.Sleep(100 * time.Millisecond)
			return probe.Writes{Spread: probe.Spread{N: 50, P50: time.Millisecond, P99: time.Millisecond, Max: time.Millisecond}}
		}}
		p := tui.NewLook(opt, func(int) {}, asker, func() bool { return false },
			tea.WithInput(sifting{in, asker}), tea.WithOutput(asker), tea.WithoutSignalHandler())
		answering := make(chan struct{})
		go func() {
			defer close(answering)
			e.answer(keys, piece)
		}()
		done := make(chan tea.Model, 1)
		go func() {
			end, err := p.Run()
			if err != nil {
				t.Error(err)
			}
			done <- end
		}()
		p.Send(tea.WindowSizeMsg{Width: w, Height: h})
		time.Sleep(40 * time.Second)
		do(keys)
		time.Sleep(2 * time.Second)
		screen = e.text()
		io.WriteString(keys, "q")
		report = tui.Looked(<-done)
		keys.Close()
		e.screen.InputPipe().(io.Closer).Close()
		<-answering
	})
	return screen, report
}

var utf8 = probe.Facts{UTF8: true, Colours: "256", Ground: "dark", Bell: true, MarkKeys: []string{"space"}}

func TestATerminalIsMeasuredThroughAWholeProgram(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {40, 12}, {200, 60}, {24, 5}} {
		for name, piece := range map[string]int{"whole": 99, "byte by byte": 1} {
			t.Run(fmt.Sprintf("%dx%d, answers %s", size[0], size[1], name), func(t *testing.T) {
				e := &emulated{away: 8 * time.Millisecond}
				screen, r := looked(t, e, piece, utf8, size[0], size[1], func(io.Writer) {})
				if s := probe.SpreadOf(r.Delays.Taken); s.N != probe.Moments || s.P50 < e.away || s.Max > e.away+frameTime {
					t.Errorf("%+v, want %d delays of %s and up to a frame", s, probe.Moments, e.away)
				}
				if got, want := r.Widths.String(), fmt.Sprintf("as they are drawn (%d signs asked)", len(probe.Signs())); got != want {
					t.Errorf("widths %q, want %q", got, want)
				}
				if r.Hand.Key != "" {
					t.Errorf("a piece of an answer is taken for the key %q", r.Hand.Key)
				}
				if r.Writes == nil || r.Writes.N != 50 {
					t.Errorf("writes %+v", r.Writes)
				}
				// What was written to be measured is gone again.
				rows := strings.Split(screen, "\n")
				if above := rows[len(rows)-2]; strings.TrimSpace(above) != "" {
					t.Errorf("the row above the keys holds %q", above)
				}
				if !strings.HasPrefix(rows[1], "what is known") || !strings.Contains(rows[0], "measured") {
					t.Errorf("the screen is torn:\n%s", screen)
				}
			})
		}
	}
}

func TestASilentTerminalIsToldOf(t *testing.T) {
	screen, r := looked(t, &emulated{silent: true}, 1, utf8, 200, 60, func(keys io.Writer) { io.WriteString(keys, " ") })
	if got := r.Delays.String(); got != "the terminal does not answer within 1 s" {
		t.Errorf("delays %q", got)
	}
	if got := r.Widths.String(); got != "the terminal does not answer" {
		t.Errorf("widths %q", got)
	}
	if !strings.Contains(screen, "does not answer within 1 s") || r.Writes == nil {
		t.Errorf("the screen says\n%s", screen)
	}
	if r.Hand.Presses != 1 {
		t.Errorf("%d marks by one press", r.Hand.Presses)
	}
}

// What comes too late is no key, in however many pieces it comes.
func TestLateAnswersAreNoKeys(t *testing.T) {
	for _, piece := range []int{1, 3, 99} {
		e := &emulated{away: 3 * time.Second}
		_, r := looked(t, e, piece, utf8, 80, 24, func(io.Writer) {})
		if r.Hand.Key != "" && r.Hand.Key != "esc" {
			t.Errorf("in pieces of %d: a piece of an answer is taken for the key %q", piece, r.Hand.Key)
		}
	}
}

func TestATooSmallTerminalIsAskedNothing(t *testing.T) {
	e := &emulated{}
	_, r := looked(t, e, 99, utf8, 20, 4, func(io.Writer) {})
	if r.NotAsked != probe.TooSmall || r.Widths != nil || len(r.Delays.Taken)+r.Delays.Lost != 0 || r.Writes == nil {
		t.Errorf("%+v", r)
	}
}

func TestWithoutUTF8OnlyTheDelayIsAsked(t *testing.T) {
	ascii := utf8
	ascii.UTF8, ascii.ASCII = false, true
	_, r := looked(t, &emulated{}, 99, ascii, 80, 24, func(io.Writer) {})
	if r.Widths != nil || len(r.Delays.Taken) != probe.Moments {
		t.Errorf("%+v", r)
	}
}

func TestTerminalFacts(t *testing.T) {
	for name, c := range map[string]struct {
		theme, env      string
		colours, ground string
		utf8, ascii     bool
	}{
		"all colours":           {"auto", "TERM=xterm-256color COLORTERM=truecolor", "24 bits", "dark", true, false},
		"256 on a light ground": {"light", "TERM=xterm-256color", "256", "light", true, false},
		"16":                    {"auto", "TERM=xterm COLORFGBG=0;15", "16", "light", true, false},
		"none":                  {"dark", "TERM=xterm NO_COLOR=1", "none", "dark", true, false},
		"another character set": {"dark", "TERM=xterm LANG=C", "16", "dark", false, true},
	} {
		f := tui.TerminalFacts(c.theme, env(c.env))
		if f.Colours != c.colours || f.Ground != c.ground || f.UTF8 != c.utf8 || f.ASCII != c.ascii || f.Term == "" {
			t.Errorf("%s: %+v", name, f)
		}
	}
}
