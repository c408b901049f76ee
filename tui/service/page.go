package service

import (
	"slices"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/live"
	"barline/tui/stage"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"
)

// Page is the service page.
type Page struct {
	opt     Options
	service bar.Service
	look    bar.Look      // of the service at the latest moment
	pace    live.Pace     // of the service's clock
	now     time.Duration // of the latest message, on the machine's clock
	rung    time.Duration // how far cues have been rung for, on the service's clock
	tick    int           // the tick that is waited for; older ones are stale
	lanes   []string      // the key of each order's lane, "" for none; of orders that are over, too
	files   []*brew.Plan  // the menu as its files were last seen
	plans   plans
	guard   keys.Guard
	ask     ask
	input   textinput.Model
	help    int // the page of the help that is shown, from 1; 0 for none
	notice  notice
	flash   flash
	record  record
	over    bool     // the service is over: its summary is shown
	row     int      // the order of it that is chosen
	short   []string // what the menu's recipes are called
	needs   stage.Needs
	width   int
	height  int
}

// notice is a line that tells what the latest key did.
type notice struct {
	text  string
	role  draw.Role
	at    time.Duration // on the machine's clock
	added int           // the number, from 1, of the order that it says was added; 0 for none
}

// flash is a lane that stands out for a moment.
type flash struct {
	order int
	until time.Duration // on the machine's clock
}

const (
	noticeFor = 6 * time.Second
	flashFor  = time.Second
)

// New returns the page of a service that is under way, or begins.
func New(opt Options) Page {
	if opt.Speed == 0 {
		opt.Speed = 1
	}
	if len(opt.Keys.Mark.Keys()) == 0 {
		opt.Keys = DefaultKeys()
	}
	input := textinput.New()
	input.Prompt = ""
	input.CharLimit = brew.LongestName
	p := Page{opt: opt, service: opt.Service, pace: live.Pace{Zero: opt.Zero, Speed: opt.Speed}, now: opt.Zero, input: input}
	p.record.Ledger = p.record.From(opt.Service.Count())
	p.plans.failed = -1
	for _, d := range opt.Service.Menu() {
		p.files = append(p.files, d.Plan)
	}
	p.now = max(p.now, p.pace.When(opt.Service.Latest()))
	p.rung = p.at()
	return p.fitted().seen()
}

// Resize tells the page how many cells it may draw on.
func (p Page) Resize(width, height int) Page {
	p.width, p.height = max(width, 0), max(height, 0)
	return p
}

// Service returns all that happened so far.
func (p Page) Service() bar.Service { return p.service }

// Busy reports whether leaving would lose something: a service that is not
// over.
func (p Page) Busy() bool { return !p.over && p.service.Orders() > 0 }

// LeftMsg says that the person is done with the page.
type LeftMsg struct{}

func left() tea.Msg { return LeftMsg{} }

// tickMsg is a wake-up with the instant at which it came.
type tickMsg struct {
	n     int
	at    time.Duration
	slept string
}

// Init sets the clock going.
func (p Page) Init() tea.Cmd {
	tick, now := tickMsg{n: p.tick}, p.opt.Now
	return func() tea.Msg {
		tick.at = now()
		return tick
	}
}

// Update answers a message.
func (p Page) Update(msg tea.Msg) (Page, tea.Cmd) {
	switch msg := msg.(type) {
	case keys.Press:
		p, cmd := p.reach(msg.At)
		p, more := p.press(msg)
		return p.sleep(tea.Batch(cmd, more))
	case tickMsg:
		p, told := p.overslept(msg)
		if msg.n != p.tick {
			return p, told
		}
		p, cmd := p.reach(msg.at)
		return p.sleep(tea.Batch(told, cmd))
	case plannedMsg:
		p, cmd := p.planned(msg)
		return p.sleep(cmd)
	case searchedMsg:
		p, cmd := p.searched(msg)
		return p.sleep(cmd)
	case scaledMsg:
		p, cmd := p.scaled(msg)
		return p.sleep(cmd)
	case savedMsg:
		return p.saved(msg)
	}
	return p, nil
}

// at returns the moment of the service's clock.
func (p Page) at() time.Duration { return p.pace.At(p.now) }

// apply folds an event that happens now, and hands it to the recorder.
func (p Page) apply(e bar.ServiceEvent) (Page, bar.Result, tea.Cmd) {
	if e.Source == "" {
		e.Source = brew.FromKey
	}
	e.At = p.at()
	return p.fold(e)
}

// fold applies an event, says why where it is refused, and hands it to the
// recorder where it is not.
func (p Page) fold(e bar.ServiceEvent) (Page, bar.Result, tea.Cmd) {
	next, result := p.service.Apply(e)
	if result.Effect == brew.Refused {
		return p.say(result.Why, draw.Faint), result, nil
	}
	p.service = next
	if e.Kind == bar.MenuChanged || e.Kind == bar.PeopleChanged {
		p = p.fitted()
	}
	p = p.seen()
	p, cmd := p.keep(e, result)
	return p, result, cmd
}

// fitted works out what the menu and the persons need room for.
func (p Page) fitted() Page {
	p.short, p.needs = shortNames(p.service.Menu()), p.needed()
	return p
}

// seen looks at the service as it is now. Orders get the key of a lane, in
// their order, as long as there are keys that no other order has.
func (p Page) seen() Page {
	p.look = p.service.Look(p.at())
	p.lanes = slices.Clone(p.lanes)
	used := map[string]bool{}
	for j, t := range p.look.Tickets {
		if j < len(p.lanes) && !gone(t) {
			used[p.lanes[j]] = true
		}
	}
	for j, t := range p.look.Tickets {
		if j == len(p.lanes) {
			p.lanes = append(p.lanes, "")
		}
		if p.lanes[j] != "" || gone(t) {
			continue
		}
		for _, k := range laneKeys {
			if !used[string(k)] {
				p.lanes[j] = string(k)
				used[string(k)] = true
				break
			}
		}
	}
	return p
}

// laneKeys are the keys of the lanes, the lowest first.
const laneKeys = "123456789ABCDEFGHIJKL"

// gone reports whether an order is over.
func gone(t bar.TicketLook) bool { return t.State == bar.OrderServed || t.State == bar.OrderDropped }

// orderOf returns the order whose lane has a key, -1 for none.
func (p Page) orderOf(lane string) int {
	for j, t := range p.look.Tickets {
		if p.lanes[j] == lane && lane != "" && !gone(t) {
			return j
		}
	}
	return -1
}

// say tells something for a while.
func (p Page) say(text string, role draw.Role) Page {
	p.notice = notice{text: text, role: role, at: p.now}
	return p
}

// replaced returns a list with one entry replaced.
func replaced[T any](list []T, i int, with T) []T {
	list = slices.Clone(list)
	list[i] = with
	return list
}
