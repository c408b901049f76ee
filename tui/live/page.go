package live

import (
	"time"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/keys"
	"barline/tui/stage"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"
)

// Options is what a brew is called with.
type Options struct {
	Plans    []*brew.Plan // one a lane
	Names    []string     // of the lanes; may be shorter
	Title    string
	By       string        // who brews; may be empty
	Kind     string        // service, rehearsal, practice, demo; shown where it is not service
	CutOff   bool          // of a brew that is over: nobody ended it
	Said     []string      // of a brew that is over: what else is known, a line each
	Speed    float64       // of the timeline's clock; 0 is taken as 1
	From     time.Duration // what the clock reads at the start
	CountIn  time.Duration // between the key and the start
	Ahead    time.Duration // how long before a cue it is announced
	Keys     KeyMap
	Theme    draw.Theme
	Recorder Recorder             // nil where nothing is kept
	Now      func() time.Duration // elapsed time, asked by commands only
	Slept    func() string        // asked by commands only: the machine's sleep since last asked, in words, "" for none; may be nil
	Bell     func(strokes int)    // rung by commands only; nil for silence
}

// DefaultAhead is how long before a cue it is announced; common practice, no
// source.
const DefaultAhead = 5 * time.Second

// phase is what the page is doing.
type phase int

const (
	preparing phase = iota
	counting        // in, before the start
	brewing
	debriefing
)

// asking is what the page wants typed in while the brew goes on.
type asking int

const (
	nothing asking = iota
	leaving
	reason
	noting
	askings = iota
)

// Page is the live page.
type Page struct {
	opt      Options
	timeline brew.Timeline
	phase    phase
	ticked   int           // things prepared so far
	top      int           // the first line of the cautions that is shown meanwhile
	pace     Pace          // of the timeline's clock
	now      time.Duration // of the latest message, on the machine's clock
	rung     time.Duration // how far cues have been rung for, on the timeline
	tick     int           // the tick that is waited for; older ones are stale
	wakes    time.Duration // the moment it comes at, on the timeline
	guard    keys.Guard
	asking   asking
	stopped  time.Duration // when stopping was confirmed, on the timeline
	input    textinput.Model
	drafts   [askings]string // what was typed of lines that were left
	notice   notice
	record   record
	report   report
	past     bool // the brew is over for good
	fresh    bool // the clock has just been started
	needs    stage.Needs
	width    int
	height   int
}

// notice is a line that tells what the latest key did.
type notice struct {
	text string
	role draw.Role
	at   time.Duration // on the machine's clock
}

// noticeFor is how long a notice stays.
const noticeFor = 6 * time.Second

// New returns the page with everything still to prepare.
func New(opt Options) Page {
	if opt.Speed == 0 {
		opt.Speed = 1
	}
	input := textinput.New()
	input.Prompt = ""
	input.CharLimit = brew.LongestText
	p := Page{opt: opt, timeline: brew.NewTimeline(opt.Plans...), pace: Pace{Speed: opt.Speed}, input: input}
	p.needs = p.needed()
	return p
}

// Resize tells the page how many cells it may draw on.
func (p Page) Resize(width, height int) Page {
	p.width, p.height = max(width, 0), max(height, 0)
	return p
}

// Timeline returns what has been brewed so far.
func (p Page) Timeline() brew.Timeline { return p.timeline }

// Title returns what is brewed.
func (p Page) Title() string { return p.opt.Title }

// Reading returns what was measured of the cup so far.
func (p Page) Reading() brew.Reading { return p.report.reading }

// Busy reports whether a brew is under way, so that leaving must be asked.
func (p Page) Busy() bool { return p.phase == counting || p.phase == brewing }

// LeftMsg says that the person is done with the page.
type LeftMsg struct{}

func left() tea.Msg { return LeftMsg{} }

// tickMsg is a wake-up with the instant at which it came.
type tickMsg struct {
	brew  time.Duration // the brew's zero, which tells it from the page's next one
	n     int
	at    time.Duration
	slept string // that the machine slept meanwhile, in words
}

// Init sets a resumed brew going; any other waits for the person.
func (p Page) Init() tea.Cmd {
	if p.phase == brewing {
		return p.wake()
	}
	return nil
}

// Update answers a message.
func (p Page) Update(msg tea.Msg) (Page, tea.Cmd) {
	switch msg := msg.(type) {
	case keys.Press:
		p, cmd := p.reach(msg.At)
		p, more := p.press(msg)
		p, again := p.askAgain()
		return p.sleep(tea.Batch(cmd, more, again))
	case tickMsg:
		if msg.brew != p.pace.Zero {
			return p, nil
		}
		p, told := p.overslept(msg)
		if msg.n != p.tick {
			return p, told
		}
		p, cmd := p.reach(msg.at)
		p, again := p.askAgain()
		return p.sleep(tea.Batch(told, cmd, again))
	case savedMsg:
		return p.saved(msg)
	case againMsg:
		return p.answeredAgain(msg), nil
	case MeasuredMsg:
		return p.measured(msg)
	}
	return p, nil
}

// press gives a key to whoever waits for one.
func (p Page) press(k keys.Press) (Page, tea.Cmd) {
	if p.asking == reason || p.asking == noting {
		return p.typed(k)
	}
	if p.phase == debriefing {
		return p.debrief(k)
	}
	hold, counts := keys.Hold, false
	if k.Is(p.opt.Keys.Nudge) {
		hold = keys.Tap
	}
	if p.guard, counts = p.guard.Admit(k, hold); !counts && !k.Is(p.opt.Keys.Up, p.opt.Keys.Down) {
		return p, nil
	}
	switch {
	case p.asking == leaving:
		return p.confirm(k)
	case k.Is(p.opt.Keys.Leave):
		return p.leave()
	case p.phase == preparing:
		return p.prepare(k)
	case p.phase == brewing:
		return p.act(k)
	}
	return p, nil
}

// leave asks first where a brew would be lost.
func (p Page) leave() (Page, tea.Cmd) {
	if !p.Busy() {
		return p.close()
	}
	p.asking = leaving
	return p, nil
}

// confirm answers the question whether to stop.
func (p Page) confirm(k keys.Press) (Page, tea.Cmd) {
	p.asking = nothing
	if !k.Is(p.opt.Keys.Yes) {
		return p, nil
	}
	if p.phase == counting {
		p.phase = preparing
		return p, nil
	}
	p.stopped = p.pace.At(p.now)
	return p.ask(reason), nil
}

// prepare ticks off one thing a press; when all is ready the same key is the
// start, as water meets coffee.
func (p Page) prepare(k keys.Press) (Page, tea.Cmd) {
	switch m := p.opt.Keys; {
	case k.Is(m.Undo):
		p.ticked = max(p.ticked-1, 0)
	case k.Is(m.Skip):
		p.ticked = len(p.chores())
	case k.Is(m.Up):
		return p.turn(-1), nil
	case k.Is(m.Down):
		return p.turn(1), nil
	case !k.Is(m.Mark):
	case !p.ready():
		p.ticked++
	default:
		return p.start()
	}
	return p, nil
}

// ready reports whether all that is to be prepared is ticked off.
func (p Page) ready() bool { return p.ticked >= len(p.chores()) }
