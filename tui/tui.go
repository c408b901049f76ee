// Package tui is the program's frame in the terminal: which page is shown,
// the theme, and the door at which keys are stamped. The pages themselves are
// in live and pages; what they draw with is in draw.
package tui

import (
	"slices"
	"time"

	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/live"
	"barline/tui/pages"
	"barline/tui/rehearsal"
	"barline/tui/service"

	tea "github.com/charmbracelet/bubbletea"
)

// Options is what the frame is opened with.
type Options struct {
	Recipes []pages.Recipe // of the shelf
	Theme   draw.Theme
	Keys    live.KeyMap                     // of the debriefs of the record; the zero one is taken as the default
	Brew    func(pages.Recipe) live.Options // how a recipe of the shelf is brewed
	Journal pages.Journal                   // the record; nil for none
	Drifts  pages.Drifts                    // what many brews tell; nil for nothing
	Cups    pages.Cups                      // what was read of cups; nil for nothing
	Takes   pages.TakesSource               // the takes of routines; nil for none
	// LookBack returns the brews that were cut off and can go on; told is what
	// else there is to know of the record, "" for nothing. It is asked once, by
	// a command, and may be nil.
	LookBack func() (cuts []CutOff, told string)
	Now      func() time.Duration // elapsed time, asked by commands and at the door only

	broke func(why any, stack []byte) // told of a command's panic; may be nil
}

// CutOff is a brew that was cut off and can be taken up.
type CutOff struct {
	Words  []string                  // what was being brewed, a line each
	TakeUp func() (live.Page, error) // asked by a command
}

// lookedMsg is what was found in the record at the start.
type lookedMsg struct {
	cuts []CutOff
	told string
}

// takenUpMsg is a brew that goes on, or why it cannot.
type takenUpMsg struct {
	page live.Page
	err  error
}

// shown is the page on the screen.
type shown int

const (
	onShelf shown = iota
	onSheet
	onLive
	onRecord
	onDrift
	onCup
	onCutOff
	onService
	onRehearsal
	onTakes
)

// Model is the whole program's state.
type Model struct {
	opt           Options
	shown         shown
	alone         bool // there is no shelf behind the live page
	shelf         pages.Shelf
	sheet         pages.Sheet
	live          live.Page
	record        pages.Record
	drift         pages.Drift
	cup           pages.Cup
	service       service.Page
	rehearsal     rehearsal.Page
	takes         pages.Takes
	begin         tea.Cmd // of the page that the program was opened on
	cutOff        pages.CutOff
	cuts          []CutOff    // that are offered, one after the other
	before        shown       // the page that the offer was put before
	put           live.Page   // put aside for a brew that goes on
	putAside      bool        // there is one
	reviewing     string      // the brew of the record that the live page shows, by its id; "" for none
	told          string      // what the person must know, until the next key
	brewed        []live.Page // left, in order, the latest of them
	earlier       int         // how many were left before those
	guard         keys.Guard
	held          bool // the key that opened the page may still be down
	width, height int
}

// Open returns the program on its shelf.
func Open(opt Options) Model {
	return Model{opt: opt, shelf: pages.NewShelf(opt.Recipes, pages.DefaultListKeys())}.resize(defaultWidth, defaultHeight)
}

// OpenLive returns the program on a live page, which it ends with.
func OpenLive(opt Options, page live.Page) Model {
	return Model{opt: opt, live: page, shown: onLive, alone: true}.resize(defaultWidth, defaultHeight)
}

// A terminal that does not tell its size is taken to have this one.
const (
	defaultWidth  = 80
	defaultHeight = 24
)

// mostBrewed is how many of the pages that were left are kept: a bar that brews
// all day has the others in its record.
const mostBrewed = 8

// Brewed returns the latest of the live pages that were left, in order, and the
// one that is on the screen.
func (m Model) Brewed() []live.Page {
	if m.shown == onLive && m.reviewing == "" {
		return append(slices.Clip(m.brewed), m.live)
	}
	return m.brewed
}

// Earlier returns how many live pages were left before those.
func (m Model) Earlier() int { return m.earlier }

// leave keeps a page that was left.
func (m Model) leave(page live.Page) Model {
	kept := m.brewed
	if len(kept) == mostBrewed {
		kept = kept[1:]
		m.earlier++
	}
	m.brewed = append(slices.Clone(kept), page)
	return m
}

// Init looks back whether a brew was cut off, while the first page stands
// already.
func (m Model) Init() tea.Cmd {
	look := m.opt.LookBack
	if look == nil {
		return watched(tea.Batch(m.live.Init(), m.begin), m.opt.broke)
	}
	return watched(tea.Batch(m.live.Init(), m.begin, func() tea.Msg {
		cuts, told := look()
		return lookedMsg{cuts, told}
	}), m.opt.broke)
}

// Update answers a message.
func (m Model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	m, cmd := m.answer(msg)
	return m, watched(cmd, m.opt.broke)
}

// answer answers a message.
func (m Model) answer(msg tea.Msg) (Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		return m.resize(msg.Width, msg.Height), nil
	case pages.ChosenMsg:
		m.sheet = pages.NewSheet(msg.Recipe, pages.DefaultSheetKeys(), m.opt.Theme.ASCII)
		return m.show(onSheet), nil
	case pages.BackMsg:
		return m.back()
	case pages.StartMsg:
		m.live = live.New(m.opt.Brew(msg.Recipe))
		return m.show(onLive), m.live.Init()
	case pages.LeftMsg:
		return m, tea.Quit
	case pages.RecordMsg:
		if m.opt.Journal == nil {
			return m, nil
		}
		var cmd tea.Cmd
		m.record, cmd = pages.NewRecord(m.opt.Journal, pages.DefaultRecordKeys())
		return m.show(onRecord), cmd
	case pages.DriftMsg:
		return m.drifts(msg.Recipe)
	case pages.CupMsg:
		return m.cups(msg.Recipe)
	case pages.CupsMsg:
		m.cup, _ = m.cup.Update(msg)
		return m, nil
	case pages.SeenMsg:
		m.drift, _ = m.drift.Update(msg)
		return m, nil
	case pages.TakesSeenMsg:
		m.takes, _ = m.takes.Update(msg)
		return m, nil
	case pages.PastMsg:
		m.live, m.reviewing = m.review(msg.Past), msg.Past.ID
		return m.show(onLive), nil
	case live.MeasuredMsg:
		return m.measured(msg)
	case reviewedMsg:
		return m.reviewed(msg), nil
	case lookedMsg:
		return m.looked(msg), nil
	case pages.TakeUpMsg:
		return m, m.takeUp()
	case takenUpMsg:
		return m.takenUp(msg)
	case pages.DroppedMsg:
		return m.dropped(), nil
	case live.LeftMsg:
		return m.left()
	case service.DebriefMsg:
		return m, m.debrief(msg.ID)
	case toldMsg:
		m.told = msg.text
		return m, nil
	case service.LeftMsg, rehearsal.LeftMsg:
		return m, tea.Quit
	}
	return m.pass(msg)
}

// show turns to a page.
func (m Model) show(page shown) Model {
	m.shown, m.held = page, true
	return m.resize(m.width, m.height)
}

// pass gives a message to the page on the screen. The key that opened the
// page is not passed on while it is held down: one press is one step.
func (m Model) pass(msg tea.Msg) (Model, tea.Cmd) {
	if k, ok := msg.(keys.Press); ok {
		if k.Type == tea.KeyCtrlZ {
			return m, suspend
		}
		if m.tells() {
			m.told = ""
		}
		var counts bool
		m.guard, counts = m.guard.Admit(k, keys.Hold)
		if m.held = m.held && !counts; m.held {
			return m, nil
		}
	}
	var cmd tea.Cmd
	switch m.shown {
	case onShelf:
		m.shelf, cmd = m.shelf.Update(msg)
	case onSheet:
		m.sheet, cmd = m.sheet.Update(msg)
	case onLive:
		m.live, cmd = m.live.Update(msg)
	case onRecord:
		m.record, cmd = m.record.Update(msg)
	case onDrift:
		m.drift, cmd = m.drift.Update(msg)
	case onCup:
		m.cup, cmd = m.cup.Update(msg)
	case onCutOff:
		m.cutOff, cmd = m.cutOff.Update(msg)
	case onService:
		m.service, cmd = m.service.Update(msg)
	case onRehearsal:
		m.rehearsal, cmd = m.rehearsal.Update(msg)
	case onTakes:
		m.takes, cmd = m.takes.Update(msg)
	}
	return m, cmd
}

func (m Model) resize(width, height int) Model {
	m.width, m.height = width, height
	m.shelf = m.shelf.Resize(width, height)
	m.sheet = m.sheet.Resize(width, height)
	m.live = m.live.Resize(width, height)
	m.record = m.record.Resize(width, height)
	m.drift = m.drift.Resize(width, height)
	m.cup = m.cup.Resize(width, height)
	m.cutOff = m.cutOff.Resize(width, height)
	m.service = m.service.Resize(width, height)
	m.rehearsal = m.rehearsal.Resize(width, height)
	m.takes = m.takes.Resize(width, height)
	return m
}

// Draw returns the screen as cells.
func (m Model) Draw() *draw.Canvas {
	c := m.page()
	if m.tells() {
		m.drawTold(c)
	}
	return c
}

// page draws the page that is shown.
func (m Model) page() *draw.Canvas {
	switch m.shown {
	case onSheet:
		return m.sheet.Draw()
	case onLive:
		return m.live.Draw()
	case onRecord:
		return m.record.Draw()
	case onDrift:
		return m.drift.Draw()
	case onCup:
		return m.cup.Draw()
	case onCutOff:
		return m.cutOff.Draw()
	case onService:
		return m.service.Draw()
	case onRehearsal:
		return m.rehearsal.Draw()
	case onTakes:
		return m.takes.Draw()
	}
	return m.shelf.Draw()
}

// View returns the screen with the theme's codes.
func (m Model) View() string { return m.Draw().Render(m.opt.Theme) }
