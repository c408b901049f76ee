package main

import (
	"errors"
	"fmt"

	"barline/brew"
	"barline/brew/bar"
	"barline/cmd/barline/internal/journal"

	"github.com/spf13/cobra"
)

// tableLead is how many ticks after the opening the first bowl is planned.
const tableLead = 10

// pour makes the command of a cupping table open the live page where no plan
// of it is asked for.
func (a *app) pour(cmd *cobra.Command, f *cuppingFlags) *cobra.Command {
	s, planned := &serviceFlags{}, a.checkOutput(cmd).RunE
	s.register(cmd)
	cmd.Flags().BoolVar(&s.takeUp, "take-up", false, "go on with the table that was cut off")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if f.plan || f.asJSON {
			return planned(cmd, args)
		}
		t, err := a.cuppingTable(args[0], *f)
		if err != nil {
			return err
		}
		return a.openTable(s, t, args[0], f.kettles)
	}
	return cmd
}

// openTable opens the live page of a table.
func (a *app) openTable(f *serviceFlags, t cuppingTable, name string, kettles int) error {
	s, err := a.tableServing(f, t, name, kettles)
	if err != nil {
		return err
	}
	return a.callService(s, f.plain)
}

// tableServing returns how a table is called: an order each bowl, known by its
// code. What is in a bowl stands in the record and nowhere on the page.
func (a *app) tableServing(f *serviceFlags, t cuppingTable, name string, kettles int) (*serving, error) {
	f.people, f.started = t.people, true
	people, err := f.persons(a.config.by)
	if err != nil {
		return nil, err
	}
	policy, kind, err := a.how(f)
	if err != nil {
		return nil, err
	}
	document, err := a.find(name)
	if err != nil {
		return nil, err
	}
	bowls := len(t.codes)
	card := &card{app: a, names: []string{name}, policy: policy, texts: map[*brew.Plan][]byte{}, known: map[string]*brew.Plan{}}
	plan := card.keep(bar.Bowl(t.plan).WithMarks(policy), document.Text())
	card.plans = []*brew.Plan{plan}
	open := bar.Opening{Menu: card.plans, Kit: bar.Kit{People: len(people), Brewers: bowls, Kettles: kettles, Scales: bowls}, People: people, Steady: true, Bowls: t.inBowls()}
	s, err := a.servingOf(open, card, kind, f.speed, journal.CuppingRound, fmt.Sprintf("%s, seed %d", plan.Name, t.seed))
	if err != nil {
		return nil, err
	}
	s.opt.Menu, s.opt.Scale = nil, nil
	if f.takeUp {
		err = a.takeUpService(s)
	} else {
		s.keeper.brew = blind(open, s.keeper.brew)
		err = s.lay(t, plan)
	}
	if err != nil {
		return nil, errors.Join(err, s.keeper.close(a.env), s.book.close())
	}
	if len(s.open.Bowls) > 0 {
		s.opt.ID = nil // a debrief says what is in the bowl
	}
	return s, nil
}

// inBowls returns what is in each bowl, by its code.
func (t cuppingTable) inBowls() map[string]string {
	out := map[string]string{}
	for n, coffee := range t.coffees {
		out[t.codes[n]] = coffee
	}
	return out
}

// blind adds what is in a bowl to the record of its brew.
func blind(o bar.Opening, keep func(int, bar.Begun) *keeper) func(int, bar.Begun) *keeper {
	return func(n int, b bar.Begun) *keeper {
		k := keep(n, b)
		if coffee := o.Bowls[b.Ticket.Name]; coffee != "" {
			k.record.Coffee = coffee
		}
		return k
	}
}

// lay places an order for each bowl and adopts the table's plan.
func (s *serving) lay(t cuppingTable, plan *brew.Plan) error {
	events := make([]bar.ServiceEvent, 0, len(t.codes)+1)
	for _, code := range t.codes {
		events = append(events, bar.ServiceEvent{Kind: bar.OrderPlaced, Source: brew.FromClock, Ticket: bar.Ticket{Name: code}})
	}
	sch := t.laid.Schedule(bar.NewDish(plan), tableLead)
	events = append(events, bar.ServiceEvent{Kind: bar.PlanAdopted, Source: brew.FromClock, Schedule: &sch})
	for _, e := range events {
		n := s.opt.Service.Count()
		next, r := s.opt.Service.Apply(e)
		if r.Effect == brew.Refused {
			return fmt.Errorf("the table: %s", r.Why)
		}
		s.opt.Service = next
		s.keeper.give(n, e, r, s.opt.Zero) // whoever waits for a later event waits for it, too
	}
	return nil
}
