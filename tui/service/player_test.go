package service_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/recipes"
	"barline/tui/keys"
	"barline/tui/service"

	tea "github.com/charmbracelet/bubbletea"
)

const s = time.Second

// sec is a moment or a length in seconds.
func sec(seconds float64) time.Duration { return time.Duration(math.Round(seconds * float64(s))) }

// zero is what the machine's clock of the tests reads at the service's zero.
const zero = 1000 * s

// player plays a page by hand: keys at moments, with no program around it.
// Plans are looked for at once.
type player struct {
	t    testing.TB
	page service.Page
	cmds []tea.Cmd // that have not been run
	left bool
	asks []string // the brews whose debriefs were asked for, by id
	slow bool     // plans and answers of the recorder do not come by themselves
}

// opening is a quarter past eight.
const opening = 8*time.Hour + 15*time.Minute

// opened returns a player of a page of the size.
func opened(t testing.TB, width, height int, opt service.Options) *player {
	t.Helper()
	if opt.Title == "" {
		opt.Title = "Window table"
	}
	if opt.Ahead == 0 {
		opt.Ahead = 5 * s
	}
	if opt.Opened == 0 {
		opt.Opened = opening
	}
	opt.Zero = zero
	// Whoever asks is told a moment so late that no alarm waits, and each time a
	// later one, so that a slice of planning has an end.
	asked := 1000 * time.Hour
	opt.Now = func() time.Duration { asked += 20 * time.Millisecond; return asked }
	p := &player{t: t, page: service.New(opt).Resize(width, height)}
	return p.settle()
}

// bench is a service with some persons and brewers.
func bench(t testing.TB, brewers int, people ...string) bar.Service {
	if len(people) == 0 {
		people = []string{"Ada"}
	}
	return bar.NewService(menu(t), bar.Kit{Brewers: brewers}, people)
}

// menu is what can be ordered: recipes kept apart from the shipped ones, so
// that a better word there changes no screen here.
func menu(t testing.TB) (out []*brew.Plan) {
	for _, stem := range []string{"press", "cone", "quick", "flat-bed", "concentrate", "pot"} {
		out = append(out, recipe(t, stem))
	}
	return out
}

var plans = map[string]*brew.Plan{}

func recipe(t testing.TB, name string) *brew.Plan {
	t.Helper()
	if p := plans[name]; p != nil {
		return p
	}
	file := filepath.Join("..", "live", "testdata", name+".yaml")
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	document, faults := recipes.Parse(file, text)
	if errs := faults.Errors(); len(errs) > 0 {
		t.Fatal(errs)
	}
	plan, err := brew.NewPlan(document.Recipe(), brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	plans[name] = plan
	return plan
}

// press presses a key at a moment of the service, in seconds.
func (p *player) press(key string, at float64) *player {
	p.t.Helper()
	p.give(message(key), at)
	return p
}

func (p *player) give(key tea.KeyMsg, at float64) {
	p.send(keys.Press{KeyMsg: key, At: zero + sec(at)})
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

// wait lets the clock run to a moment, a second at a time: a key that means
// nothing tells the page the time.
func (p *player) wait(at float64) *player {
	for from := math.Floor(p.page.At().Seconds()) + 1; from < at; from++ {
		p.press("f20", from)
	}
	return p.press("f20", at)
}

// settle runs the commands so far and gives the page what they have to say,
// but for alarms.
func (p *player) settle() *player {
	for len(p.cmds) > 0 {
		cmds := p.cmds
		p.cmds = nil
		for _, msg := range results(cmds) {
			switch name := reflect.TypeOf(msg).Name(); {
			case name == "tickMsg":
				continue
			case name == "LeftMsg":
				p.left = true
				continue
			case name == "DebriefMsg":
				p.asks = append(p.asks, msg.(service.DebriefMsg).ID)
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
	for _, t := range []tea.KeyType{tea.KeyEnter, tea.KeyEsc, tea.KeyUp, tea.KeyDown, tea.KeyPgDown, tea.KeyBackspace, tea.KeyCtrlC, tea.KeyF20} {
		if t.String() == key {
			return tea.KeyMsg{Type: t}
		}
	}
	if key == " " {
		return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune(" ")}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(key)}
}

// order places orders of recipes by their digits, a second apart.
func (p *player) order(digits string, at float64) *player {
	for i, d := range digits {
		p.press("a", at+float64(i)).press(string(d), at+float64(i)+0.2)
	}
	return p
}

// serve lets the service go on to a moment, with every mark made in time: the
// zeros as they are planned, the beats as they are called.
func (p *player) serve(to float64) *player {
	p.t.Helper()
	for {
		at, any := p.due(sec(to))
		if !any {
			return p.wait(to)
		}
		p.wait(at.Seconds())
		p.markAll()
	}
}

// due returns the next moment up to an end at which something is to be marked.
func (p *player) due(end time.Duration) (at time.Duration, any bool) {
	now := p.page.At()
	svc := p.page.Service()
	look := svc.Look(now)
	best := end + 1
	for _, t := range look.Tickets {
		if t.Brew < 0 {
			for _, do := range t.Coming {
				if do.Zero {
					best = min(best, max(do.Start, now+1))
				}
			}
			continue
		}
		lane := svc.Lane(t.Brew)
		if how, _, _ := lane.Ending(); how != brew.Running {
			continue
		}
		for n, b := range lane.Plan().Beats {
			if st := lane.Beat(n); b.Asked && st.Status == brew.Waiting && lane.Zero()+st.Called > now {
				best = min(best, lane.Zero()+st.Called)
			}
		}
	}
	return best, best <= end
}

// markAll marks each lane in which a beat or the zero has just been called.
func (p *player) markAll() {
	at := p.page.At()
	for _, w := range p.page.Service().Look(at).Waiting {
		if w.Beat >= 0 && w.Called < at {
			continue // it has been missed
		}
		before := p.page.Service().Count()
		p.press("f19", p.page.At().Seconds()) // another key lets the next one count
		p.press(p.page.LaneKey(w.Order), p.page.At().Seconds())
		if p.page.Service().Count() == before {
			p.t.Fatalf("a mark of order %d was not taken", w.Order)
		}
	}
}

var errDisk = errors.New("no space left on the disk")

// unplugged is a recorder whose disk has gone.
type unplugged struct{}

func (unplugged) Append(int, bar.ServiceEvent, bar.Result, time.Duration) error { return errDisk }

// keeping is a recorder that keeps everything.
type keeping struct {
	events  map[int]bar.ServiceEvent
	results map[int]bar.Result
}

func (k *keeping) Append(n int, e bar.ServiceEvent, r bar.Result, _ time.Duration) error {
	if _, twice := k.events[n]; twice {
		return fmt.Errorf("event %d came twice", n)
	}
	k.events[n], k.results[n] = e, r
	return nil
}

func newKeeping() *keeping {
	return &keeping{map[int]bar.ServiceEvent{}, map[int]bar.Result{}}
}
