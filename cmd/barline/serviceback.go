package main

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/cmd/barline/internal/journal"
)

// roundRead is a round of the bar as its record tells it.
type roundRead struct {
	journal.WholeRound
	opening bar.Opening
	brews   [][]brew.Event // by number
	service bar.Service
	err     error // where its records stop fitting together
}

// readRound folds a round's record. What came in from elsewhere may hold
// anything, so what cannot be followed at all is an error, too.
func readRound(r journal.WholeRound) (out roundRead) {
	out.WholeRound = r
	defer func() {
		if broken := recover(); broken != nil {
			out = roundRead{WholeRound: r, err: fmt.Errorf("it cannot be followed: %v", broken)}
		}
	}()
	if out.err = json.Unmarshal([]byte(r.Text), &out.opening); out.err != nil {
		return out
	}
	most := 0
	for _, b := range r.Brews {
		if b.Lane < len(r.Brews) {
			most = max(most, b.Lane+1)
		}
	}
	out.brews = make([][]brew.Event, most)
	for _, b := range r.Brews {
		if b.Lane < most {
			out.brews[b.Lane] = b.Events
		}
	}
	out.service, out.err = bar.ReplayService(out.opening, r.Events, out.brews)
	return out
}

// open returns the orders that are neither served nor cancelled at the
// service's latest moment.
func (r roundRead) open() (out []bar.TicketLook) {
	for _, t := range r.service.Look(r.service.Latest()).Tickets {
		if t.State != bar.OrderServed && t.State != bar.OrderDropped {
			out = append(out, t)
		}
	}
	return out
}

// A service that was cut off is told of for so long, and among so many.
const (
	openFor    = 12 * time.Hour
	mostRounds = 5
)

// openRound returns the latest round that was cut off with orders open.
func (b *book) openRound(kind journal.RoundKind) (roundRead, bool) {
	if missing(b.path) {
		return roundRead{}, false
	}
	j, err := b.open()
	if err != nil {
		return roundRead{}, false // what is wrong with the file is told by whoever saves
	}
	rounds, err := j.RecentRounds(context.Background(), kind, mostRounds)
	if err != nil {
		return roundRead{}, false
	}
	for _, r := range rounds {
		if r.Live || b.app.clock.Now().Wall.Sub(r.Start) > openFor {
			continue
		}
		if read := readRound(r); len(read.open()) > 0 {
			return read, true
		}
	}
	return roundRead{}, false
}

// sayOpenRound lists what was open when the latest service was cut off.
func (a *app) sayOpenRound(b *book) {
	r, is := b.openRound(journal.BarRound)
	if !is {
		return
	}
	say(a.stderr, "the service of %s was cut off with these orders open:", a.when(r.Start))
	for _, t := range r.open() {
		say(a.stderr, "  %s", ticketLine(r.service, t))
	}
	say(a.stderr, "hint: %s goes on with it", a.typed("bar", "--take-up"))
}

// ticketLine says what an order is and how far it is.
func ticketLine(s bar.Service, t bar.TicketLook) string {
	line := fmt.Sprintf("%d", t.Order+1)
	if t.Name != "" {
		line += " " + t.Name
	}
	line += ", " + s.DishOf(t.Order).Plan.Name + ", " + string(t.State)
	if t.Why != "" {
		line += ": " + t.Why
	}
	return line
}

// takeUpService goes on with the service, or the table, that was cut off: its round, and
// those of its brews that can still go on. An order whose brew cannot is made
// again, first in the queue.
func (a *app) takeUpService(s *serving) error {
	cut, is := s.book.openRound(s.keeper.round.Kind)
	switch {
	case !is && s.keeper.round.Kind == journal.CuppingRound:
		return &inputError{"no table was cut off with bowls open", "without --take-up a new one is poured"}
	case !is:
		return &inputError{"no service was cut off with orders open", a.typed("bar") + " opens a new one"}
	}
	j, err := s.book.open()
	if err != nil {
		return journalError(err)
	}
	now := a.clock.Now()
	on := journal.Now{Wall: now.Wall, Elapsed: now.Elapsed, Boot: a.clock.Boot()}
	r := cut.WholeRound
	taken := map[int]*kept{}
	for i, b := range r.Brews {
		if b.End != journal.CutOff {
			continue
		}
		recorder, _, err := j.TakeUp(context.Background(), b.ID, on)
		if err != nil {
			continue // it is made again below
		}
		r.Brews[i] = recorder.Record()
		taken[b.Lane] = a.keptAgain(s.book, recorder)
	}
	read := readRound(r)
	if read.err != nil {
		return &inputError{"the round " + r.ID + ": " + read.err.Error(), a.typed("journal", "verify") + " says what else is wrong"}
	}
	s.opt.Service, s.open = read.service, read.opening
	s.card.goOnWith(read.service.Menu())
	s.opt.Zero = now.Elapsed - time.Duration(float64(read.now(now.Wall, on))/s.opt.Speed)
	s.opt.Opened = sinceMidnight(r.Start)
	brewKeeper := s.keeper.brew
	s.keeper = newServiceKeeper(s.book, r.Round, read.service.Count())
	s.opt.Title = r.Name
	s.keeper.brew, s.keeper.brews, s.opt.Recorder, s.opt.ID = blind(read.opening, brewKeeper), taken, s.keeper, s.keeper.ID
	for _, b := range r.Brews {
		s.keeper.ids[b.Lane] = b.ID
	}
	for n, stop := range read.service.Unended(read.brews) {
		s.keeper.giveBrew(bar.Happening{Brew: n, Event: stop}, s.opt.Zero)
	}
	return a.remakeLost(s, taken)
}

// serviceNow returns the moment of the service's clock.
func (a *app) serviceNow(s *serving) time.Duration {
	return time.Duration(float64(a.now()-s.opt.Zero) * s.opt.Speed)
}

// keptAgain returns what goes on keeping a brew that was taken up.
func (a *app) keptAgain(b *book, recorder *journal.Recorder) *kept {
	k := &keeper{
		path: b.path, clock: a.clock, mayMove: a.mayMove, typed: a.typed, recorder: recorder, record: recorder.Record(), begun: make(chan struct{}),
	}
	k.once.Do(func() { close(k.begun) })
	b.keep(k)
	events := recorder.Record().Events
	return &kept{keeper: k, events: len(events), last: events[len(events)-1]}
}

// now returns where the service's clock stands: by the machine's own clock
// within the same boot, as its brews have it, else by the clock on the wall.
func (r roundRead) now(wall time.Time, on journal.Now) time.Duration {
	at := wall.Sub(r.Start)
	for _, b := range r.Brews {
		if b.Clock.Boot != "" && b.Clock.Boot == on.Boot {
			at = time.Duration(float64(on.Elapsed-b.Clock.Zero) * b.Speed)
		} else if b.Speed != 1 {
			at = time.Duration(float64(wall.Sub(r.Start)) * b.Speed)
		}
	}
	return max(at, r.service.Latest())
}

// remakeLost places anew the orders whose brews were cut off for good.
func (a *app) remakeLost(s *serving, taken map[int]*kept) error {
	at := a.serviceNow(s)
	for _, t := range s.opt.Service.Look(s.opt.Service.Latest()).Tickets {
		if t.Brew < 0 || taken[t.Brew] != nil {
			continue
		}
		if how, _, _ := s.opt.Service.Lane(t.Brew).Ending(); how != brew.Running {
			continue
		}
		e := bar.ServiceEvent{Kind: bar.OrderRemade, At: at, Source: brew.FromClock, Order: t.Order, Text: "its brew was cut off"}
		n := s.opt.Service.Count()
		next, r := s.opt.Service.Apply(e)
		if r.Effect == brew.Refused {
			continue
		}
		s.opt.Service = next
		if err := s.keeper.Append(n, e, r, s.opt.Zero); err != nil {
			return err
		}
	}
	return nil
}
