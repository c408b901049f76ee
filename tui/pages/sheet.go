package pages

import (
	"fmt"
	"strings"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/live"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
)

// SheetKeys are the keys of a recipe's sheet.
type SheetKeys struct{ Up, Down, Start, Cup, Back key.Binding }

// DefaultSheetKeys returns the keys of the sheet.
func DefaultSheetKeys() SheetKeys {
	return SheetKeys{
		Up:    key.NewBinding(key.WithKeys("up", "k", "pgup"), key.WithHelp("up", "back up")),
		Down:  key.NewBinding(key.WithKeys("down", "j", "pgdown"), key.WithHelp("down", "more")),
		Start: key.NewBinding(key.WithKeys("enter", " "), key.WithHelp("enter", "get ready to brew")),
		Cup:   key.NewBinding(key.WithKeys("c"), key.WithHelp("c", "the cup")),
		Back:  key.NewBinding(key.WithKeys("q", "esc", "ctrl+c"), key.WithHelp("q", "back")),
	}
}

// Bindings returns every key, in the order of the help.
func (k SheetKeys) Bindings() []key.Binding {
	return []key.Binding{k.Start, k.Back, k.Cup, k.Down, k.Up}
}

// Sheet is the page of one recipe: what it asks for, and its timeline drawn
// still.
type Sheet struct {
	recipe        Recipe
	keys          SheetKeys
	ascii         bool
	top           int // the first line shown
	width, height int
}

// NewSheet returns the page of a recipe.
func NewSheet(r Recipe, k SheetKeys, ascii bool) Sheet {
	return Sheet{recipe: r, keys: k, ascii: ascii}
}

// StartMsg says that the person wants to brew the recipe.
type StartMsg struct{ Recipe Recipe }

// BackMsg says that the person wants the shelf again.
type BackMsg struct{}

// Resize tells the page how many cells it may draw on.
func (s Sheet) Resize(width, height int) Sheet {
	s.width, s.height = max(width, 0), max(height, 0)
	return s
}

// Update answers a message.
func (s Sheet) Update(msg tea.Msg) (Sheet, tea.Cmd) {
	k, ok := msg.(keys.Press)
	switch {
	case !ok:
	case k.Is(s.keys.Up):
		s.top = max(min(s.top, s.last())-1, 0)
	case k.Is(s.keys.Down):
		s.top = min(s.top+1, s.last())
	case k.Is(s.keys.Back):
		return s, func() tea.Msg { return BackMsg{} }
	case k.Is(s.keys.Cup) && s.recipe.Plan != nil:
		recipe := s.recipe
		return s, func() tea.Msg { return CupMsg{recipe} }
	case k.Is(s.keys.Start) && s.recipe.Plan != nil:
		recipe := s.recipe
		return s, func() tea.Msg { return StartMsg{recipe} }
	}
	return s, nil
}

// sheetLine is one line of the sheet.
type sheetLine struct {
	text string
	role draw.Role
}

// timelineHeight returns how many rows the timeline gets, with a blank row
// above it.
func (s Sheet) timelineHeight() int {
	switch {
	case s.recipe.Plan == nil || s.height < 12:
		return 0
	case s.height < 20:
		return 4
	case s.height < 36:
		return 9
	}
	return 15
}

// text returns the rows [from, to) of the screen that hold the text.
func (s Sheet) text() (from, to int) {
	if s.height < leastFrame {
		return 0, s.height
	}
	return 1, s.height - 1 - s.timelineHeight()
}

// leastFrame is the height from which on the recipe's name and the keys are
// shown.
const leastFrame = 4

// last returns the topmost line at the end of scrolling.
func (s Sheet) last() int {
	from, to := s.text()
	return max(0, len(s.lines())-(to-from))
}

// Draw returns the page on a canvas of its size.
func (s Sheet) Draw() *draw.Canvas {
	c := draw.NewCanvas(s.width, s.height)
	if s.height >= leastFrame {
		c.Text(0, 0, draw.Fit(s.recipe.Name, s.width), draw.Strong)
		help := s.keys
		help.Start.SetEnabled(s.recipe.Plan != nil)
		help.Cup.SetEnabled(s.recipe.Plan != nil)
		help.Down.SetEnabled(s.top < s.last())
		help.Up.SetEnabled(s.top > 0)
		c.Help(s.height-1, help.Bindings())
	}
	from, to := s.text()
	if h := s.timelineHeight(); h > 0 {
		c.Draw(0, to+1, draw.Timeline(s.width, h-1, live.Still(s.recipe.Plan), s.ascii))
	}
	lines := s.lines()
	lines = lines[min(s.top, s.last()):]
	for i := 0; from+i < to && i < len(lines); i++ {
		line := lines[i]
		if below := len(lines) - i; i > 0 && from+i == to-1 && below > 1 {
			line = sheetLine{draw.Fit(fmt.Sprintf("... %d more lines", below), s.width), draw.Faint}
		}
		c.Text(0, from+i, line.text, line.role)
	}
	return c
}

// lines returns the sheet's text, wrapped to the screen: first the figures,
// the cautions and what check warns of, then the cup, what to prepare, the steps
// and what comes after.
func (s Sheet) lines() []sheetLine {
	if s.recipe.Plan == nil {
		return s.faulty()
	}
	p := s.recipe.Plan
	out := s.wrapped(draw.Plain, "", figures(s.recipe.Recipe, p))
	for _, cue := range p.Cues {
		if cue.Caution != "" {
			out = append(out, s.wrapped(draw.Caution, "! ", cue.Name+": "+cue.Caution)...)
		}
	}
	if s.recipe.Faults != "" {
		out = append(out, s.checked()...)
	}
	out = append(out, s.cup()...)
	out = append(out, s.care()...)
	out = append(out, s.list("prepare", p.Prepare)...)
	out = append(out, sheetLine{draw.Fit("steps", s.width), draw.Faint})
	for _, cue := range p.Cues {
		text := cue.Prompt
		if cue.Label != "" {
			text += " (" + cue.Label + ")"
		}
		out = append(out, s.wrapped(draw.Plain, fmt.Sprintf("%5s  ", brew.Clock(cue.Start)), text)...)
	}
	out = append(out, s.list("afterwards", p.Afterwards)...)
	return out
}

// faulty shows why the file cannot be brewed.
func (s Sheet) faulty() []sheetLine {
	out := s.wrapped(draw.Caution, "", "This recipe cannot be brewed as it stands; its file has errors.")
	return append(out, s.checked()...)
}

// checked shows what check says of the file. Lines of the file and the carets
// below them stand in columns and are cut off; what is said of them is not.
func (s Sheet) checked() []sheetLine {
	var out []sheetLine
	for _, line := range strings.Split(strings.TrimRight(s.recipe.Faults, "\n"), "\n") {
		if strings.HasPrefix(line, " ") {
			out = append(out, sheetLine{draw.Fit(line, s.width), draw.Faint})
			continue
		}
		out = append(out, s.wrapped(draw.Plain, "", line)...)
	}
	return out
}

func (s Sheet) list(head string, chores []brew.Chore) []sheetLine {
	if len(chores) == 0 {
		return nil
	}
	out := []sheetLine{{draw.Fit(head, s.width), draw.Faint}}
	for _, chore := range chores {
		out = append(out, s.wrapped(draw.Plain, "  ", chore.Do)...)
	}
	return out
}

// wrapped breaks a text to the width of the screen, with a lead before its
// first line.
func (s Sheet) wrapped(role draw.Role, lead, text string) []sheetLine {
	var out []sheetLine
	for _, line := range draw.Wrap(text, s.width-draw.Width(lead)) {
		out = append(out, sheetLine{draw.Fit(lead+line, s.width), role})
		lead = strings.Repeat(" ", draw.Width(lead))
	}
	return out
}

// figures is what the recipe asks for, in a sentence of figures.
func figures(r brew.Recipe, p *brew.Plan) string {
	parts := []string{
		string(r.Method), r.Dose.String() + " coffee", r.Water.String() + " water", ratio(r), r.Temperature.String(), r.Grind,
		brew.Clock(p.End) + " in all",
	}
	if p.HasContact {
		parts = append(parts, brew.Clock(p.Contact)+" contact")
	}
	if r.Setting != "" {
		parts = append(parts, "grinder at "+r.Setting)
	}
	for _, text := range []string{r.Coffee, r.Lot} {
		if text != "" {
			parts = append(parts, text)
		}
	}
	if r.Cups > 0 {
		parts = append(parts, fmt.Sprintf("%d cups", r.Cups))
	}
	return strings.Join(parts, ", ")
}
