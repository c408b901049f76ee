package tui_test

import (
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/tui"
	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"pgregory.net/rapid"
)

// typed are keys that may come at any moment.
var typed = []tea.KeyMsg{
	{Type: tea.KeySpace, Runes: []rune(" ")}, {Type: tea.KeyEnter}, {Type: tea.KeyPgDown}, {Type: tea.KeyEsc}, {Type: tea.KeyTab},
	{Type: tea.KeyUp}, {Type: tea.KeyDown}, {Type: tea.KeyBackspace}, {Type: tea.KeyCtrlC}, {Type: tea.KeyF5}, {Type: tea.KeyDelete},
	{Type: tea.KeyRunes, Runes: []rune("u")}, {Type: tea.KeyRunes, Runes: []rune("s")}, {Type: tea.KeyRunes, Runes: []rune("n")},
	{Type: tea.KeyRunes, Runes: []rune("e")}, {Type: tea.KeyRunes, Runes: []rune("q")}, {Type: tea.KeyRunes, Runes: []rune("y")},
	{Type: tea.KeyRunes, Runes: []rune("z")}, {Type: tea.KeyRunes, Runes: []rune("注湯 of some length, and 12.5")},
	{Type: tea.KeyRunes, Runes: []rune(" \r pasted q"), Paste: true},
}

// However the window is resized in the middle of whatever goes on, what is
// drawn has exactly its size.
func TestEveryFrameHasTheSizeOfItsWindow(t *testing.T) {
	plans := shipped(t)
	rapid.Check(t, func(r *rapid.T) {
		plan := plans[rapid.SampledFrom([]string{"quayside-press.yaml", "quayside-quick.yaml", "quayside-cupping.yaml"}).Draw(r, "recipe")]
		theme := draw.NewTheme(true, rapid.SampledFrom([]termenv.Profile{termenv.TrueColor, termenv.ANSI, termenv.Ascii}).Draw(r, "colours"))
		theme.ASCII = rapid.Bool().Draw(r, "ascii")
		now := time.Duration(0)
		opt := live.Options{Plans: []*brew.Plan{plan}, Title: plan.Name, By: "Ada", Keys: live.DefaultKeys(), Ahead: live.DefaultAhead, Theme: theme, Now: func() time.Duration { return now }}
		var m tea.Model = tui.OpenLive(tui.Options{Theme: theme, Now: opt.Now}, live.New(opt))
		width, height := 80, 24
		m, _ = m.Update(keys.Press{KeyMsg: typed[12], At: now}) // all is prepared
		for range rapid.IntRange(5, 60).Draw(r, "events") {
			if rapid.IntRange(0, 2).Draw(r, "event") == 0 {
				width, height = rapid.IntRange(1, 300).Draw(r, "width"), rapid.IntRange(1, 100).Draw(r, "height")
				if rapid.Bool().Draw(r, "tiny") {
					width, height = width%8+1, height%4+1
				}
				m, _ = m.Update(tea.WindowSizeMsg{Width: width, Height: height})
			} else {
				now += time.Duration(rapid.IntRange(1, 12_000).Draw(r, "pause")) * time.Millisecond
				m, _ = m.Update(keys.Press{KeyMsg: rapid.SampledFrom(typed).Draw(r, "key"), At: now})
			}
			lines := strings.Split(m.View(), "\n")
			if len(lines) != height {
				r.Fatalf("%d lines on a screen of %dx%d", len(lines), width, height)
			}
			for _, line := range lines {
				if w := ansi.StringWidth(line); w > width {
					r.Fatalf("a line of %d cells on a screen of %dx%d: %q", w, width, height, line)
				}
			}
		}
	})
}
