package live_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"barline/brew"
	"barline/recipes"
	"barline/tui/keys"
	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
)

const s = time.Second

// sec is a moment or a length in seconds.
func sec(seconds float64) time.Duration { return time.Duration(math.Round(seconds * float64(s))) }

// player plays a page by hand: keys at moments, with no program around it.
type player struct {
	t    testing.TB
	page live.Page
	zero time.Duration // the machine's moment of 0:00
	cmds []tea.Cmd     // that have not been run
}

// machineZero is when the machine's clock of the tests begins: not at 0.
const machineZero = 1000 * s

// open returns a player of a page of the size with everything to prepare.
func open(t testing.TB, width, height int, opt live.Options) *player {
	t.Helper()
	if opt.Title == "" {
		opt.Title = opt.Plans[0].Name
	}
	if len(opt.Keys.Mark.Keys()) == 0 {
		opt.Keys = live.DefaultKeys()
	}
	if opt.Ahead == 0 {
		opt.Ahead = live.DefaultAhead
	}
	// Whoever asks is told a moment so late that no alarm waits.
	opt.Now = func() time.Duration { return 1000 * time.Hour }
	return &player{t: t, page: live.New(opt).Resize(width, height), zero: machineZero}
}

// begun returns a player whose clock started at 0 s.
func begun(t testing.TB, width, height int, opt live.Options) *player {
	t.Helper()
	p := open(t, width, height, opt).tick()
	p.press(" ", -opt.CountIn.Seconds())
	p.wait(0)
	return p
}

// tick ticks off all there is to prepare.
func (p *player) tick() *player {
	p.press("s", -100)
	return p
}

// press presses keys at a moment of the timeline at speed 1, in seconds: each
// key is a name as the library knows it.
func (p *player) press(key string, at float64) *player {
	p.t.Helper()
	p.give(message(key), at)
	return p
}

func (p *player) give(key tea.KeyMsg, at float64) {
	var cmd tea.Cmd
	p.page, cmd = p.page.Update(keys.Press{KeyMsg: key, At: p.zero + sec(at)})
	p.cmds = append(p.cmds, cmd)
}

// write types a text, a character each 20 ms, from a moment on.
func (p *player) write(text string, at float64) *player {
	for i, r := range []rune(text) {
		p.press(string(r), at+0.02*float64(i))
	}
	return p
}

// wait lets the clock run to a moment: a key that means nothing tells the page
// the time.
func (p *player) wait(at float64) *player { return p.press("f20", at) }

// settle runs the commands so far and gives the page what they have to say,
// but for alarms.
func (p *player) settle() *player {
	cmds := p.cmds
	p.cmds = nil
	for _, msg := range results(cmds) {
		if fmt.Sprintf("%T", msg) == "live.tickMsg" {
			continue
		}
		var cmd tea.Cmd
		p.page, cmd = p.page.Update(msg)
		p.cmds = append(p.cmds, cmd)
	}
	return p
}

// left reports whether the commands so far leave the page.
func (p *player) left() bool {
	for _, msg := range results(p.cmds) {
		if _, ok := msg.(live.LeftMsg); ok {
			return true
		}
	}
	return false
}

func results(cmds []tea.Cmd) []tea.Msg {
	var out []tea.Msg
	for _, cmd := range cmds {
		if cmd == nil {
			continue
		}
		switch msg := cmd().(type) {
		case nil:
		case tea.BatchMsg:
			out = append(out, results(msg)...)
		default:
			out = append(out, msg)
		}
	}
	return out
}

// message is a key by its name.
func message(key string) tea.KeyMsg {
	for _, t := range []tea.KeyType{tea.KeyEnter, tea.KeyEsc, tea.KeyTab, tea.KeyUp, tea.KeyDown, tea.KeyPgDown, tea.KeyPgUp, tea.KeyBackspace, tea.KeyLeft, tea.KeyCtrlC, tea.KeyF20} {
		if t.String() == key {
			return tea.KeyMsg{Type: t}
		}
	}
	if key == " " {
		return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune(" ")}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(key)}
}

// recipe returns the plan of a recipe in testdata: those are kept apart from
// the shipped ones, so that a better word there changes no screen here.
func recipe(t testing.TB, name string) *brew.Plan {
	t.Helper()
	file := filepath.Join("testdata", name+".yaml")
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	document, faults := recipes.Parse(file, text)
	if errs := faults.Errors(); len(errs) > 0 {
		t.Fatal(errs)
	}
	return planned(t, document.Recipe())
}

func planned(t testing.TB, r brew.Recipe) *brew.Plan {
	t.Helper()
	plan, err := brew.NewPlan(r, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// awkward is a recipe whose texts are as long as a recipe may have them.
func awkward(t testing.TB) *brew.Plan {
	return planned(t, brew.Recipe{
		Name: "A recipe with the longest of all the names on this shelf, 1", Method: brew.Cone,
		Dose: 20 * brew.Gram, Water: 320 * brew.Gram, Temperature: 93.5, Grind: "medium, as fine as table salt and no finer than that, please",
		Prepare: []brew.Chore{{Do: "Rinse the paper filter with hot water until nothing of it can be smelled any more, and pour that water away"}},
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 60 * brew.Gram, To: true, Over: 10 * s, Label: "first wetting of all the grounds", Caution: careful},
			{Action: brew.Swirl, Text: "the cone, with a small gentle turn", Over: 5 * s},
			{Action: brew.Pour, Anchor: brew.At, Offset: 45 * s, Amount: 320 * brew.Gram, To: true, Over: 40 * s, Why: "slow circles from the middle out and back again keep the bed level"},
			{Action: brew.Drawdown, Text: "until no more than drops fall", Over: 70 * s},
			{Action: brew.Swirl, Anchor: brew.At, Offset: 95 * s, Text: "once, while the bed drains down", Over: 4 * s},
			{Action: brew.Do, Text: "Set the cone onto its dish by its handle", Over: 4 * s, Caution: "the cone is hot and drips"},
		},
	})
}

// careful is as long as a caution may be.
const careful = "Near-boiling water scalds at once, and so does its steam: keep the spout low over the bed, your other hand off the rim, the table clear, and let nobody reach across while you are pouring, not once"

// round returns so many lanes of recipes, and their names.
func round(t testing.TB, lanes int) live.Options {
	stems := []string{"press", "cone", "quick", "flat-bed", "concentrate", "pot"}
	opt := live.Options{Title: "Six for the window table"}
	for i := range lanes {
		opt.Plans = append(opt.Plans, recipe(t, stems[i]))
		opt.Names = append(opt.Names, []string{"press", "cone", "quick", "flat bed", "pot for 3", "plunger"}[i])
	}
	return opt
}

// unplugged is a recorder whose disk has gone.
type unplugged struct{ err error }

func (u unplugged) Append(int, brew.Event, time.Duration) error { return u.err }
func (u unplugged) Measure(brew.Correction) error               { return u.err }

var errDisk = errors.New("no space left on the disk")

// keeping is a recorder that keeps everything.
type keeping struct {
	events   map[int]brew.Event
	readings []brew.Correction
}

func (k *keeping) Append(n int, e brew.Event, _ time.Duration) error { k.events[n] = e; return nil }
func (k *keeping) Measure(r brew.Correction) error                   { k.readings = append(k.readings, r); return nil }
