package draw

import (
	"io"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
)

// Ink is the look of a role: its colour for terminals of 24 bits, of 256 and
// of 16 colours, and whether it is bold or inverse. An ink without a colour
// is the terminal's own.
type Ink struct {
	Hex           string // #rrggbb
	Index, Basic  string // numbers of the palettes of 256 and of 16
	Bold, Inverse bool
}

// Palette is an ink for each role.
type Palette [roles]Ink

// Of returns the ink of a role, the terminal's own for an unknown one.
func (p Palette) Of(r Role) Ink {
	if int(r) >= len(p) {
		return Ink{}
	}
	return p[r]
}

// The palettes are chosen by us. Each colour has a contrast of at least
// 4.5 : 1 (WCAG 2, level AA) against black and #1e1e1e, or against white and
// #f5f5f5. Of the 16 basic colours, whose values are the terminal's choice,
// only those are used that hold it in the palettes of xterm and of VGA.
var (
	onDark = Palette{
		Faint:   {Hex: "#969ca3", Index: "247", Basic: "7"},
		Strong:  {Hex: "#ffffff", Index: "231", Basic: "15", Bold: true},
		Now:     {Hex: "#ffe45c", Index: "221", Basic: "11", Bold: true},
		Water:   {Hex: "#5fb4e8", Index: "74", Basic: "6"},
		Busy:    {Hex: "#e0a878", Index: "180", Basic: "15"},
		Free:    {Hex: "#a49a8c", Index: "246", Basic: "7"},
		OnTime:  {Hex: "#7fd18b", Index: "114", Basic: "10"},
		Late:    {Hex: "#ff8b80", Index: "210", Basic: "13"},
		Early:   {Hex: "#c0a8ff", Index: "147", Basic: "14"},
		Caution: {Hex: "#ffb347", Index: "215", Basic: "11", Bold: true},
		Key:     {Hex: "#a8c8e8", Index: "153", Basic: "14"},
		Inverse: {Inverse: true},
	}
	onLight = Palette{
		Faint:   {Hex: "#62686e", Index: "241", Basic: "0"},
		Strong:  {Hex: "#000000", Index: "16", Basic: "0", Bold: true},
		Now:     {Hex: "#9c1458", Index: "89", Basic: "1", Bold: true},
		Water:   {Hex: "#0b5fa5", Index: "25", Basic: "4"},
		Busy:    {Hex: "#7a4718", Index: "94", Basic: "0"},
		Free:    {Hex: "#6a6356", Index: "240", Basic: "0"},
		OnTime:  {Hex: "#1d6b3a", Index: "22", Basic: "0"},
		Late:    {Hex: "#b3261e", Index: "124", Basic: "1"},
		Early:   {Hex: "#5546b8", Index: "54", Basic: "4"},
		Caution: {Hex: "#8f4700", Index: "88", Basic: "1", Bold: true},
		Key:     {Hex: "#1f4e79", Index: "24", Basic: "4"},
		Inverse: {Inverse: true},
	}
)

// PaletteFor returns the inks for a dark or a light ground.
func PaletteFor(dark bool) Palette {
	if dark {
		return onDark
	}
	return onLight
}

// NewTheme returns the codes of all roles for a dark or a light ground and
// what the terminal can show; with termenv.Ascii no role has any code. It
// asks the terminal nothing.
func NewTheme(dark bool, profile termenv.Profile) Theme {
	renderer := lipgloss.NewRenderer(io.Discard, termenv.WithProfile(profile))
	renderer.SetColorProfile(profile)
	renderer.SetHasDarkBackground(dark)
	var t Theme
	for role, ink := range PaletteFor(dark) {
		// Many terminals of 16 colours show bold ones bright, which are faint on
		// a light ground.
		ink.Bold = ink.Bold && (dark || profile != termenv.ANSI)
		before, after := ink.codes(renderer)
		t = t.With(Role(role), before, after)
	}
	return t
}

// codes returns what the renderer writes before and after a text in this ink.
func (i Ink) codes(renderer *lipgloss.Renderer) (before, after string) {
	style := renderer.NewStyle().Bold(i.Bold).Reverse(i.Inverse)
	if i.Hex != "" {
		style = style.Foreground(lipgloss.CompleteColor{TrueColor: i.Hex, ANSI256: i.Index, ANSI: i.Basic})
	}
	before, after, _ = strings.Cut(style.Render("x"), "x")
	return before, after
}
