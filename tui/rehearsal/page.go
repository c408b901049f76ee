package rehearsal

import (
	"slices"
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/live"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"
)

// Page is the rehearsal page.
type Page struct {
	opt    Options
	phase  phase
	run    routine.Run
	look   routine.Look   // of the run at the latest moment
	lanes  brew.Timeline  // the run's, then
	told   routine.Result // of the run that is over
	pace   live.Pace      // of the routine's clock
	now    time.Duration  // of the latest message, on the machine's clock
	rung   time.Duration  // how far cues have been rung for, on the routine's clock
	tick   int            // the tick that is waited for; older ones are stale
	fresh  bool           // the machine's sleep until now is no part of the take
	marked []int          // the lanes of the marks and skips that stand, in order
	latest answer         // what the latest mark was
	early  early          // the latest press that came too early for what it meant
	guard  keys.Guard
	ask    asking
	input  textinput.Model
	notice notice
	record record
	take   int              // its number, from 0
	takes  []routine.Result // that are over, before this one
	top    int              // the first row of a list
	width  int
	height int
}

// phase is how far a take is.
type phase int

const (
	ready phase = iota
	counting
	running
	over
)

// asking is what the page wants to know.
type asking int

const (
	nothing  asking = iota
	stopping        // whether to stop the take
	calling         // whether to call time though something is still to come
	noting
)

// notice is a line that tells what the latest key did.
type notice struct {
	text string
	role draw.Role
	at   time.Duration // on the machine's clock
}

const noticeFor = 6 * time.Second

// answer is the mark that is told: of a beat, of the start of a brew, of a
// line.
type answer struct {
	any      bool
	lane     int
	beat     int // of its lane's plan, or of a line its number; -1 for a start
	happened int
}

// New returns the page ahead of the first take.
func New(opt Options) Page {
	if opt.Speed == 0 {
		opt.Speed = 1
	}
	if len(opt.Keys.Mark.Keys()) == 0 {
		opt.Keys = DefaultKeys()
	}
	input := textinput.New()
	input.Prompt = ""
	input.CharLimit = brew.LongestText
	p := Page{opt: opt, input: input, pace: live.Pace{Speed: opt.Speed}}
	return p.anew()
}

// anew puts the page ahead of a take that has not begun.
func (p Page) anew() Page {
	p.run, p.phase = routine.NewRun(p.opt.Plan, p.opt.Run), ready
	p = p.watch(p.run.Begins())
	p.marked, p.latest, p.early, p.ask, p.notice, p.top = nil, answer{}, early{}, nothing, notice{}, 0
	return p
}

// Resize tells the page how many cells it may draw on.
func (p Page) Resize(width, height int) Page {
	p.width, p.height = max(width, 0), max(height, 0)
	return p
}

// Run returns the take that is on the page.
func (p Page) Run() routine.Run { return p.run }

// Takes returns what became of the takes so far, in order. One that goes on
// is among them, as far as it has got; one that has not begun is not.
func (p Page) Takes() []routine.Result {
	if !p.run.Started() {
		return p.takes
	}
	return append(slices.Clip(p.takes), p.result())
}

// result returns what the take on the page has come to.
func (p Page) result() routine.Result {
	return routine.Of(routine.Take{Person: p.opt.By, Speed: p.opt.Speed, Dry: p.opt.Dry}, p.run)
}

// LeftMsg says that the person is done with the page.
type LeftMsg struct{}

func left() tea.Msg { return LeftMsg{} }

// tickMsg is a wake-up with the instant at which it came.
type tickMsg struct {
	n     int
	at    time.Duration
	slept string
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
	case savedMsg:
		return p.saved(msg)
	}
	return p, nil
}

// watch keeps what the run shows at a moment.
func (p Page) watch(at time.Duration) Page {
	p.look, p.lanes = p.run.At(at), p.run.LanesAt(at)
	return p
}

// at returns the moment of the routine's clock.
func (p Page) at() time.Duration { return p.pace.At(p.now) }

// apply folds an event that happens now, and hands it to the recorder.
func (p Page) apply(e brew.Event) (Page, brew.Outcome, tea.Cmd) {
	if e.Source == "" {
		e.Source = brew.FromKey
	}
	e.At = p.behind(e.Lane)
	return p.fold(e)
}

// behind returns the moment of an event of a lane that happens now. A take and
// its brews are kept apart, and put together again by their moments; of one
// moment the take's own events come first. So what happens in the same instant
// as the latest event, but would come ahead of it, comes a hair later.
func (p Page) behind(lane int) time.Duration {
	all := p.run.Events()
	if len(all) == 0 {
		return p.at()
	}
	rank := func(lane int) int {
		if lane >= len(p.opt.Plan.Cups) {
			return -1
		}
		return lane
	}
	last := all[len(all)-1]
	if p.at() <= last.At && rank(lane) < rank(last.Lane) {
		return last.At + 1
	}
	return max(p.at(), last.At)
}

// fold applies an event, says why where it is refused, and hands it to the
// recorder where it is not.
func (p Page) fold(e brew.Event) (Page, brew.Outcome, tea.Cmd) {
	next, outcome := p.run.Apply(e)
	if outcome.Effect == brew.Refused {
		return p.say(outcome.Why, draw.Faint), outcome, nil
	}
	happening := happened(p.run, next)
	p.run = next
	p = p.watch(max(p.at(), p.run.Begins()))
	p, cmd := p.keep(happening)
	return p, outcome, cmd
}

// happened returns what an event added to a run.
func happened(before, after routine.Run) (h Happening) {
	plan := after.Plan()
	if !before.Started() {
		h.Own = append(h.Own, routine.Begin(plan, after.Options()))
	}
	for _, e := range after.Events()[len(before.Events()):] {
		if e.Lane >= len(plan.Cups) {
			h.Own = append(h.Own, e)
		}
	}
	for i := range plan.Cups {
		h.Brews = append(h.Brews, after.Lanes().Lane(i).Events()[len(before.Lanes().Lane(i).Events()):]...)
	}
	return h
}

// say tells something for a while.
func (p Page) say(text string, role draw.Role) Page {
	p.notice = notice{text, role, p.now}
	return p
}
