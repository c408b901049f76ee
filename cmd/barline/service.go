package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
	"barline/tui"
	"barline/tui/live"
	"barline/tui/service"

	"github.com/spf13/cobra"
)

// serviceFlags say how a service is called.
type serviceFlags struct {
	kitFlags
	by      []string
	kind    string
	marks   string
	speed   float64
	plain   bool
	takeUp  bool
	started bool // --people was given
}

// serve makes the command of the bar open the service page.
func (a *app) serve(cmd *cobra.Command) {
	f := &serviceFlags{}
	cmd.Use = "bar [RECIPE...]"
	cmd.Long = "bar opens the service page: several orders, one page. The recipes named, or those\non the shelf, are its menu, by digit.\n\n" +
		"With --plain, or where there is no terminal, everything is said as lines, and a\nline of input is a key: " + servicePlainHelp + "."
	cmd.Args = cobra.ArbitraryArgs
	cmd.ValidArgsFunction = a.completeRecipes()
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		f.started = cmd.Flags().Changed("people")
		return a.openService(f, args)
	}
	f.kitFlags.register(cmd)
	f.register(cmd)
	cmd.Flags().BoolVar(&f.takeUp, "take-up", false, "go on with the service that was cut off")
}

func (f *serviceFlags) register(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringArrayVar(&f.by, "by", nil, "who brews; once for each person")
	flags.StringVar(&f.kind, "kind", "", "service, rehearsal or practice (default service, practice at another speed)")
	flags.StringVar(&f.marks, "marks", "", "which beats wait for a mark: all, asked or none (default asked)")
	flags.Float64Var(&f.speed, "speed", 1, "of the clock, 0.1 to 100; another than 1 is practice")
	flags.BoolVar(&f.plain, "plain", false, "as lines of text, without a screen")
}

// how returns which beats wait for a mark, and what the brews are for.
func (a *app) how(f *serviceFlags) (policy brew.Policy, kind string, err error) {
	policy = brew.Policy(firstOf(f.marks, string(a.config.marks), string(brew.MarksAsked)))
	switch {
	case !slices.Contains([]brew.Policy{brew.MarksAll, brew.MarksAsked, brew.MarksNone}, policy):
		return "", "", fmt.Errorf("--marks %q is none of all, asked, none", f.marks)
	case !(0.1 <= f.speed && f.speed <= 100):
		return "", "", fmt.Errorf("--speed %g is outside 0.1 to 100", f.speed)
	}
	kind, err = (&brewFlags{kind: f.kind}).kindOf(live.Options{Speed: f.speed})
	return policy, kind, err
}

// persons returns who is at work: those who are named, and as many more as
// there are people.
func (f *serviceFlags) persons(by string) ([]string, error) {
	for _, name := range f.by {
		if err := plainText(name); err != nil {
			return nil, misused("--by", name, err)
		}
	}
	names := slices.Clone(f.by)
	if len(names) == 0 && by != "" {
		names = []string{by}
	}
	people := f.people
	if !f.started {
		people = max(len(names), 1)
	}
	if len(names) > people {
		return nil, &usageError{fmt.Sprintf("--by names %d, but there are --people %d", len(names), people), "leave --people out"}
	}
	for len(names) < people {
		names = append(names, fmt.Sprintf("person %d", len(names)+1))
	}
	if people == 1 && len(f.by) == 0 && by == "" {
		names[0] = ""
	}
	return names, nil
}

// mostDishes is how many recipes the digits reach.
const mostDishes = 9

// card is the menu of a service: the recipes as their files are.
type card struct {
	app    *app
	names  []string // as they were asked for; empty for the shelf
	policy brew.Policy
	plans  []*brew.Plan
	texts  map[*brew.Plan][]byte
	known  map[string]*brew.Plan // by the text of its file
}

// card reads the menu.
func (a *app) card(names []string, policy brew.Policy) (*card, error) {
	c := &card{app: a, names: names, policy: policy, texts: map[*brew.Plan][]byte{}, known: map[string]*brew.Plan{}}
	if len(names) > mostDishes {
		return nil, &usageError{fmt.Sprintf("%d recipes, a menu has at most %d", len(names), mostDishes), ""}
	}
	if len(names) == 0 {
		shelf, err := a.shelf()
		if err != nil {
			return nil, err
		}
		for _, e := range shelf.Entries() {
			if len(e.Faults.Errors()) == 0 && len(c.names) < mostDishes {
				c.names = append(c.names, e.Stem)
			}
		}
	}
	for _, name := range c.names {
		plan, document, _, err := a.planned(name, "")
		if err != nil {
			return nil, err
		}
		c.plans = append(c.plans, c.keep(plan.WithMarks(policy), document.Text()))
	}
	return c, nil
}

// keep remembers the text that a plan is of, and returns the plan.
func (c *card) keep(p *brew.Plan, text []byte) *brew.Plan {
	c.texts[p], c.known[p.Name+"\x00"+string(text)] = text, p
	return p
}

// goOnWith takes over the menu of a service that was cut off: a dish keeps its
// digit and its plan, as long as its file says the same; one whose file is
// gone stays as it was.
func (c *card) goOnWith(menu []bar.Dish) {
	names, plans := c.names, c.plans
	c.names, c.plans = make([]string, len(menu)), make([]*brew.Plan, len(menu))
	for i, d := range menu {
		c.plans[i] = d.Plan
		n := slices.IndexFunc(plans, func(p *brew.Plan) bool { return p.Name == d.Plan.Name })
		if n < 0 {
			continue
		}
		c.names[i] = names[n]
		p, was := plans[n], d.Plan
		if p.Version == was.Version && p.Temperature == was.Temperature && p.Grind == was.Grind {
			c.keep(was, c.texts[p]) // another dose is no other file
		}
	}
}

// fresh returns the recipes as their files are now, the same ones where they
// are as they were. One that is at fault stays as it was.
func (c *card) fresh() []*brew.Plan {
	out := slices.Clone(c.plans)
	for i, name := range c.names {
		if name == "" {
			continue
		}
		document, err := c.app.find(name)
		if err != nil || len(document.Check(c.app.bar()).Errors()) > 0 {
			continue
		}
		plan, err := brew.NewPlan(document.Recipe(), c.app.bar())
		if err != nil {
			continue
		}
		if known := c.known[plan.Name+"\x00"+string(document.Text())]; known != nil {
			out[i] = known
			continue
		}
		out[i] = c.keep(plan.WithMarks(c.policy), document.Text())
	}
	c.plans = out
	return out
}

// scale returns a recipe of the menu with another dose. It says nothing: the
// screen is in use.
func (c *card) scale(plan *brew.Plan, dose string) (*brew.Plan, error) {
	i := slices.IndexFunc(c.plans, func(p *brew.Plan) bool { return p.Name == plan.Name })
	if i < 0 {
		return nil, fmt.Errorf("%s is not on the menu", plan.Name)
	}
	grams, err := parseDose(dose)
	if err != nil {
		return nil, err
	}
	document, err := c.app.find(c.names[i])
	if err != nil {
		return nil, err
	}
	recipe, err := document.Recipe().Scale(grams, c.app.bar())
	if err != nil {
		return nil, err
	}
	scaled, err := brew.NewPlan(recipe, c.app.bar())
	if err != nil {
		return nil, err
	}
	scaled = scaled.WithMarks(c.policy)
	c.texts[scaled] = document.Text()
	return scaled, nil
}

// serving is a service that is about to be called.
type serving struct {
	opt    service.Options
	keeper *serviceKeeper
	book   *book
	open   bar.Opening
	card   *card
}

// openService opens the service page, or says everything as lines.
func (a *app) openService(f *serviceFlags, names []string) error {
	s, err := a.serving(f, names)
	if err != nil {
		return err
	}
	if f.takeUp {
		if err := a.takeUpService(s); err != nil {
			return errors.Join(err, s.book.close())
		}
	} else {
		a.sayOpenRound(s.book)
	}
	return a.callService(s, f.plain)
}

// callService runs a service to its end.
func (a *app) callService(s *serving, plain bool) error {
	if plain || a.screenless() != "" {
		err := a.plainService(s)
		return errors.Join(err, s.keeper.close(a.env), s.book.close())
	}
	m, err := a.show(s.book, func(t *tui.Terminal) tui.Model {
		s.opt.Theme = a.look()
		if a.rings() {
			s.opt.Bell = t.Ring
		}
		return tui.OpenService(tui.Options{Theme: s.opt.Theme, Keys: a.config.markKeys(), Now: a.now, Journal: s.book}, service.New(s.opt))
	})
	if served := m.Service().Service(); served.Orders() > 0 {
		say(a.stdout, "%s: %s; %s lists the rounds", s.opt.Title, servedWords(served), a.typed("journal", "rounds"))
	}
	return errors.Join(err, s.keeper.close(a.env), s.book.close())
}

// serving returns how a service is called, and what keeps its record.
func (a *app) serving(f *serviceFlags, names []string) (*serving, error) {
	kit, err := f.kit()
	if err != nil {
		return nil, err
	}
	people, err := f.persons(a.config.by)
	if err != nil {
		return nil, err
	}
	kit.People = len(people)
	policy, kind, err := a.how(f)
	if err != nil {
		return nil, err
	}
	card, err := a.card(names, policy)
	if err != nil {
		return nil, err
	}
	open := bar.Opening{Menu: card.plans, Kit: kit, People: people}
	return a.servingOf(open, card, kind, f.speed, journal.BarRound, "bar")
}

// servingOf returns how a service that was opened so is called.
func (a *app) servingOf(open bar.Opening, card *card, kind string, speed float64, round journal.RoundKind, title string) (*serving, error) {
	text, err := json.Marshal(open)
	if err != nil {
		return nil, err
	}
	s := &serving{open: open, book: a.book(), card: card}
	s.keeper = newServiceKeeper(s.book, journal.Round{Kind: round, Name: title, Person: open.People[0], Text: string(text)}, 0)
	s.keeper.brew = a.brewKeeper(card, kind, speed)
	now := a.clock.Now()
	s.opt = service.Options{
		Service: open.Service(), Title: title, Kind: kind, Zero: now.Elapsed, Opened: sinceMidnight(now.Wall), Speed: speed,
		Ahead: live.DefaultAhead, Keys: service.DefaultKeys(), Recorder: s.keeper, ID: s.keeper.ID, Now: a.now, Slept: slept(a.clock),
		Menu: card.fresh, Scale: card.scale,
	}
	s.opt.Keys.Mark = a.config.markKeys().Mark
	if a.config.ahead != nil {
		s.opt.Ahead = *a.config.ahead
	}
	return s, nil
}

// sinceMidnight returns the time of day.
func sinceMidnight(t time.Time) time.Duration {
	return time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute + time.Duration(t.Second())*time.Second + time.Duration(t.Nanosecond())
}

// brewKeeper returns what makes a keeper for each brew of a service.
func (a *app) brewKeeper(card *card, kind string, speed float64) func(int, bar.Begun) *keeper {
	return func(n int, b bar.Begun) *keeper {
		path, _ := a.journalFile()
		return &keeper{
			path: path, clock: a.clock, mayMove: a.mayMove, aside: a.setAside, before: func() {}, typed: a.typed, begun: make(chan struct{}),
			record: journal.Record{
				Brew: journal.Brew{
					Kind: drift.Kind(kind), Speed: speed, Marks: card.policy, Person: b.Person, Lane: n, Order: ticketName(b),
					Coffee: firstOf(b.Ticket.Coffee, b.Plan.Coffee, a.config.coffee), Lot: firstOf(b.Plan.Lot, a.config.lot),
					Setting: firstOf(b.Plan.Setting, a.config.setting), Kettle: a.config.kettle,
				},
				Plan: b.Plan, Text: string(card.texts[b.Plan]),
			},
		}
	}
}

// ticketName is what an order is known by in the record of its brew: its
// number and, where there is one, the guest's name.
func ticketName(b bar.Begun) string {
	if b.Ticket.Name == "" {
		return fmt.Sprint(b.Order + 1)
	}
	return fmt.Sprintf("%d %s", b.Order+1, b.Ticket.Name)
}
