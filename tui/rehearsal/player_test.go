package rehearsal_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"sync"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/recipes"
	"barline/tui/keys"
	"barline/tui/rehearsal"

	tea "github.com/charmbracelet/bubbletea"
)

const s = time.Second

// sec is a moment or a length in seconds.
func sec(seconds float64) time.Duration { return time.Duration(math.Round(seconds * float64(s))) }

// start is what the machine's clock of the tests reads at their beginning.
const start = 1000 * s

var (
	planning sync.Mutex
	planned  = map[string]*routine.Plan{}
)

// plan returns the plan of a routine kept apart from the shipped ones, so that
// a better word there changes no screen here.
func plan(t testing.TB, name string) *routine.Plan { return planOf(t, name, false) }

func planOf(t testing.TB, name string, dry bool) *routine.Plan {
	t.Helper()
	planning.Lock()
	defer planning.Unlock()
	key := fmt.Sprint(name, dry)
	if p := planned[key]; p != nil {
		return p
	}
	file := filepath.Join("testdata", name+".yaml")
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	document, _ := recipes.ParseRoutine(file, text)
	resolved, faults := document.Resolve(recipe, brew.Bar{})
	if errs := faults.Errors(); len(errs) > 0 {
		t.Fatal(errs.Text())
	}
	search := routine.Solve(resolved, routine.Usual)
	if dry {
		search = search.Dry(routine.Usual)
	}
	if !search.Found() {
		t.Fatal("no plan")
	}
	planned[key] = search.Plan()
	return planned[key]
}

func recipe(name string) (brew.Recipe, error) {
	for _, folder := range []string{"testdata", "../live/testdata"} {
		file := filepath.Join(folder, name+".yaml")
		if text, err := os.ReadFile(file); err == nil {
			document, faults := recipes.Parse(file, text)
			return document.Recipe(), faults.Err()
		}
	}
	return brew.Recipe{}, fmt.Errorf("no recipe %q", name)
}

// player plays a page by hand: keys at moments, with no program around it.
type player struct {
	t    testing.TB
	page rehearsal.Page
	zero time.Duration // of the routine's clock, on the machine's
	cmds []tea.Cmd     // that have not been run
	left bool
	slow bool // answers of the recorder do not come by themselves
}

// opened returns a player of a page of the size, ahead of the first take.
func opened(t testing.TB, width, height int, opt rehearsal.Options) *player {
	t.Helper()
	if opt.Plan == nil {
		opt.Plan = plan(t, "short")
	}
	if opt.Run == (routine.Options{}) {
		opt.Run = opt.Plan.Whole()
	}
	if opt.Ahead == 0 {
		opt.Ahead = 5 * s
	}
	// Whoever asks is told a moment so late that no alarm waits.
	opt.Now = func() time.Duration { return 1000 * time.Hour }
	return &player{t: t, page: rehearsal.New(opt).Resize(width, height), zero: start}
}

// begun has called time: the routine's clock reads what the first section
// begins with.
func begun(t testing.TB, width, height int, opt rehearsal.Options) *player {
	t.Helper()
	p := opened(t, width, height, opt)
	return p.begin()
}

func (p *player) begin() *player {
	p.send(keys.Press{KeyMsg: message(" "), At: start})
	p.zero = start - p.page.Run().Begins()
	return p
}

// press presses a key at a moment of the routine, in seconds.
func (p *player) press(key string, at float64) *player {
	p.t.Helper()
	p.send(keys.Press{KeyMsg: message(key), At: p.zero + sec(at)})
	return p
}

func (p *player) send(msg tea.Msg) {
	var cmd tea.Cmd
	p.page, cmd = p.page.Update(msg)
	p.cmds = append(p.cmds, cmd)
	if !p.slow {
		p.settle()
	}
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
	for len(p.cmds) > 0 {
		cmds := p.cmds
		p.cmds = nil
		for _, msg := range results(cmds) {
			switch reflect.TypeOf(msg).Name() {
			case "tickMsg":
				continue
			case "LeftMsg":
				p.left = true
				continue
			}
			var cmd tea.Cmd
			p.page, cmd = p.page.Update(msg)
			p.cmds = append(p.cmds, cmd)
		}
	}
	return p
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
	for _, t := range []tea.KeyType{tea.KeyEnter, tea.KeyEsc, tea.KeyUp, tea.KeyDown, tea.KeyRight, tea.KeyPgDown, tea.KeyBackspace, tea.KeyCtrlC, tea.KeyF19, tea.KeyF20} {
		if t.String() == key {
			return tea.KeyMsg{Type: t}
		}
	}
	if key == " " {
		return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune(" ")}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(key)}
}

// perform goes on to a moment with every mark made when it is called, so late.
func (p *player) perform(to, late float64) *player {
	p.t.Helper()
	for {
		at, any := p.due()
		if !any || at+sec(late) > sec(to) {
			return p.wait(to)
		}
		p.press("f19", (at + sec(late)).Seconds()) // another key lets the next one count
		p.press(" ", (at + sec(late)).Seconds())
	}
}

// due returns when the first thing that waits for a mark was or will be
// called.
func (p *player) due() (at time.Duration, any bool) {
	run := p.page.Run()
	plan, best := run.Plan(), time.Duration(math.MaxInt64)
	for i, c := range plan.Cups {
		if !run.Lanes().Lane(i).Started() && c.Zero >= run.Begins() && c.Zero < run.Due() {
			best = min(best, c.Zero)
		}
	}
	for i := range run.Lanes().Lanes() {
		lane := run.Lanes().Lane(i)
		if how, _, _ := lane.Ending(); !lane.Started() || how != brew.Running {
			continue
		}
		for n, b := range lane.Plan().Beats {
			if st := lane.Beat(n); b.Asked && st.Status == brew.Waiting && (!run.Partial() || lane.Zero()+st.Called < run.Due()) {
				best = min(best, lane.Zero()+st.Called)
			}
		}
	}
	return max(best, p.page.At()), best < math.MaxInt64
}

var errDisk = errors.New("no space left on the disk")

// unplugged is a recorder whose disk has gone.
type unplugged struct{}

func (unplugged) Append(int, int, rehearsal.Happening, time.Duration) error { return errDisk }

// keeping is a recorder that keeps everything.
type keeping struct {
	takes [][]rehearsal.Happening
	zeros []time.Duration
}

func (k *keeping) Append(take, n int, h rehearsal.Happening, zero time.Duration) error {
	if take == len(k.takes) {
		k.takes, k.zeros = append(k.takes, nil), append(k.zeros, zero)
	}
	if take != len(k.takes)-1 || n != len(k.takes[take]) || zero != k.zeros[take] {
		return fmt.Errorf("happening %d of take %d came out of turn", n, take)
	}
	k.takes[take] = append(k.takes[take], h)
	return nil
}

// run is a take as its record tells it.
func (k *keeping) run(t testing.TB, take int) routine.Run {
	t.Helper()
	return k.upTo(t, take, len(k.takes[take]))
}

// upTo is a take as its record tells it that was cut off behind so many
// happenings.
func (k *keeping) upTo(t testing.TB, take, happenings int) routine.Run {
	t.Helper()
	var own []brew.Event
	brews := map[int][]brew.Event{}
	for _, h := range k.takes[take][:happenings] {
		own = append(own, h.Own...)
		for _, e := range h.Brews {
			brews[e.Lane] = append(brews[e.Lane], e)
		}
	}
	var all [][]brew.Event
	for i := range 10 {
		all = append(all, brews[i])
	}
	run, err := (&routine.Reader{}).Run(routine.Take{Events: routine.Merge(own, all...)})
	if err != nil {
		t.Fatal(err)
	}
	return run
}
