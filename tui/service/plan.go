package service

import (
	"reflect"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/draw"

	tea "github.com/charmbracelet/bubbletea"
)

// How long is planned: so long for what is shown at once, in steps of so many
// nodes; then so many slices more behind the person's back. A slice has an end
// even where the clock stands still.
const (
	slice      = 50 * time.Millisecond
	step       = 50
	mostNodes  = 2000
	mostSlices = 20
)

// retryAfter is how long after it found no plan the page looks again, if
// nothing happens meanwhile.
const retryAfter = 5 * time.Second

// plans is what the page knows of its planning.
type plans struct {
	busy   bool          // a first plan is being looked for
	failed int           // the count of events at which none was found, -1 for never
	at     time.Duration // when that was
	fault  error
}

// plannedMsg is the plan that is shown at once, or that there is none.
type plannedMsg struct {
	count    int // of events that it knows of
	search   *bar.Replan
	schedule bar.Schedule
	found    bool
	menu     []*brew.Plan // nil where it was not asked for
}

// searchedMsg is what a slice of the search behind the person's back came to.
type searchedMsg struct {
	count    int
	search   *bar.Replan
	adopted  bar.Schedule
	slices   int
	over     bool
	schedule bar.Schedule
	take     bool // the schedule is worth to be adopted
}

// replan looks for a plan where the one in force knows too little.
func (p Page) replan() (Page, tea.Cmd) {
	at := p.at()
	none := p.plans.failed == p.service.Count() && at-p.plans.at < retryAfter
	if !p.look.Stale || p.plans.busy || none {
		return p, nil
	}
	p.plans.busy = true
	return p, first(p.service, at, p.opt.Now, p.opt.Menu)
}

// first looks for the plan that is shown at once: the one in force as far as it
// can be kept, else the best of the first slice, else the first of all.
func first(s bar.Service, at time.Duration, now func() time.Duration, menu func() []*brew.Plan) tea.Cmd {
	return func() tea.Msg {
		msg := plannedMsg{count: s.Count(), search: s.Replan(at)}
		if menu != nil {
			msg.menu = menu()
		}
		msg.schedule, msg.found = msg.search.Kept()
		for more := true; more && !msg.found; {
			more = advance(msg.search, now)
			msg.schedule, msg.found = msg.search.Best()
		}
		return msg
	}
}

// advance searches for a slice and reports whether there is more to do.
func advance(r *bar.Replan, now func() time.Duration) (more bool) {
	from := now()
	for nodes := 0; nodes < mostNodes; nodes += step {
		if !r.Advance(step) {
			return false
		}
		if now()-from >= slice {
			break
		}
	}
	return true
}

// planned adopts a plan that was made for things as they still are, and goes
// on looking for a better one.
func (p Page) planned(msg plannedMsg) (Page, tea.Cmd) {
	p.plans.busy = false
	p, changed := p.freshMenu(msg.menu)
	switch {
	case msg.count != p.service.Count():
		return p, changed // the plan knows too little: it is made again
	case !msg.found:
		p.plans.failed, p.plans.at, p.plans.fault = msg.count, p.at(), msg.search.Err()
		return p, nil
	}
	p.plans.fault = nil
	p, cmd := p.adopt(msg.schedule)
	again := searchedMsg{count: p.service.Count(), search: msg.search, adopted: msg.schedule}
	return p, tea.Batch(cmd, again.on(p.opt.Now, p.pace.At))
}

func (p Page) adopt(sch bar.Schedule) (Page, tea.Cmd) {
	p, _, cmd := p.apply(bar.ServiceEvent{Kind: bar.PlanAdopted, Source: brew.FromClock, Schedule: &sch})
	return p, cmd
}

// on searches for one more slice. The last one says whether what was found
// should take the place of what is in force; where it is the same, what may be
// said of it should.
func (m searchedMsg) on(now func() time.Duration, service func(machine time.Duration) time.Duration) tea.Cmd {
	return func() tea.Msg {
		m.slices++
		m.over = !advance(m.search, now) || m.slices == mostSlices
		if !m.over {
			return m
		}
		sch, found := m.search.Best()
		if !found || sch.Claim.String() == "" {
			return m
		}
		tick := int(service(now()) / time.Second)
		same := reflect.DeepEqual(sch.Slots, m.adopted.Slots)
		m.schedule, m.take = sch, same || m.search.Problem.Worth(m.search.Plan(m.adopted), m.search.Plan(sch), tick)
		return m
	}
}

// searched goes on with the search while nothing happens, and adopts what it
// came to.
func (p Page) searched(msg searchedMsg) (Page, tea.Cmd) {
	switch {
	case msg.count != p.service.Count():
		return p, nil
	case !msg.over:
		return p, msg.on(p.opt.Now, p.pace.At)
	case msg.take:
		return p.adopt(msg.schedule)
	}
	return p, nil
}

// freshMenu takes over recipes whose files have changed: they count for what
// is not begun yet.
func (p Page) freshMenu(menu []*brew.Plan) (Page, tea.Cmd) {
	var cmds []tea.Cmd
	for i, d := range p.service.Menu() {
		if i >= len(menu) || menu[i] == nil || menu[i] == p.files[i] {
			continue
		}
		p.files = replaced(p.files, i, menu[i])
		var cmd tea.Cmd
		p, _, cmd = p.apply(bar.ServiceEvent{Kind: bar.MenuChanged, Source: brew.FromClock, Dish: i, Plan: menu[i]})
		p = p.say(d.Plan.Name+" was edited; it counts from the next start", draw.Plain)
		cmds = append(cmds, cmd)
	}
	return p, tea.Batch(cmds...)
}
