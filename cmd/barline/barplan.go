package main

import (
	"fmt"
	"io"
	"slices"
	"time"

	"barline/brew"
	"barline/brew/bar"

	"github.com/spf13/cobra"
)

// newBarPlan returns the command that plans a round.
func newBarPlan(a *app) *cobra.Command {
	var kit kitFlags
	var orders []string
	var windows string
	limit := 2 * time.Second
	asJSON, asTable := false, false
	cmd := &cobra.Command{
		Use:   "plan",
		Short: "plan a round: who does what when, so that people wait least",
		Long: "plan times every step of every order, so that nothing overlaps, no step leaves its\n" +
			"window and nothing is used twice at once. What it makes least is the waiting of all\n" +
			"orders, from when each was placed until its cup is ready; no order is passed by more\n" +
			"than one later one, and equal recipes go in order of arrival. Then it ends as early\n" +
			"as can be, and then, with its work in that order, every step is as close to its\n" +
			"recipe's own time as can be.\n\n" +
			"An order is RECIPE@M:SS, the time counted from the round's zero, or\n" +
			"RECIPE@M:SS=NAME,CUPS; the name and the cups may be left out.",
		Example: "  barline bar plan --brewers 2 --order quayside-cone@0:00=Ada --order quayside-press@0:20\n" +
			"  barline bar plan --windows 0..6 --order quayside-cone@0:00 --order quayside-flat-bed@0:30",
		Args: flagsAlone,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if asJSON && asTable {
				return &usageError{"--json and --table are two answers", "leave one of them out"}
			}
			if limit <= 0 {
				return &usageError{fmt.Sprintf("--time-limit %s, wanted more than nothing", limit), ""}
			}
			r, err := a.round(kit, orders)
			if err != nil {
				return err
			}
			if cmd.Flags().Changed("windows") {
				return a.tolerances(r, windows, limit, asJSON)
			}
			if err := a.settle(r, limit); err != nil {
				return err
			}
			if asJSON {
				return printJSON(a.stdout, r.json())
			}
			r.print(a.stdout, a.across())
			return nil
		},
	}
	kit.register(cmd)
	flags := cmd.Flags()
	flags.StringArrayVar(&orders, "order", nil, "an order, RECIPE@M:SS or RECIPE@M:SS=NAME,CUPS; once for each")
	flags.StringVar(&windows, "windows", "", "what the round comes to with windows of so many seconds, such as 0..6")
	flags.Var((*lengthFlag)(&limit), "time-limit", "how long to look for a better plan, of each width with --windows")
	flags.BoolVar(&asJSON, "json", false, "as JSON")
	flags.BoolVar(&asTable, "table", false, "as a table for people (the default)")
	return cmd
}

// barRound is a round of orders and its plan.
type barRound struct {
	kit     bar.Kit
	menu    *menu
	problem *bar.Problem
	plan    bar.Plan
	claim   bar.Claim
	limit   time.Duration
}

// round reads what is to be planned.
func (a *app) round(flags kitFlags, texts []string) (*barRound, error) {
	kit, err := flags.kit()
	if err != nil {
		return nil, err
	}
	m := a.menu()
	orders, err := a.readOrders(texts, m)
	if err != nil {
		return nil, err
	}
	return &barRound{kit: kit, menu: m, problem: kit.Round(m.patterns, orders)}, nil
}

// settle plans the round.
func (a *app) settle(r *barRound, limit time.Duration) error {
	if c, any := r.problem.Conflict(); any && c.Sure {
		return r.noPlan(true, limit)
	}
	s, err := bar.NewSearch(r.problem, nil)
	if err != nil {
		return &inputError{"the round cannot be planned: " + err.Error(), ""}
	}
	a.advance(s, limit)
	pl, any := s.Best()
	if !any {
		return r.noPlan(s.Over(), limit)
	}
	r.plan, r.claim, r.limit = r.problem.Ease(pl), s.Claim(), limit
	return nil
}

// noPlan says why there is no plan.
func (r *barRound) noPlan(sure bool, limit time.Duration) error {
	c, any := r.problem.Conflict()
	switch {
	case any && c.Resource >= 0 && (sure || c.Sure):
		return &inputError{"there is no plan: " + clashing(r.problem, c, r.order), "give more " + plural(r.problem.Resources[c.Resource].Name) + ", or wider windows in the recipe"}
	case sure:
		return &inputError{"there is no plan: the orders' own times leave no room within " + clockOf(r.problem.Horizon), ""}
	}
	return &inputError{"no plan was found within " + brew.Spoken(limit), "give more --time-limit, or fewer orders"}
}

// clashing says which acts need the same at which moment; of says what an
// order is called.
func clashing(p *bar.Problem, c bar.Conflict, of func(int) string) string {
	var who []string
	for _, n := range c.Needs {
		who = append(who, fmt.Sprintf("%s's %s", of(n.Order), nameOf(p, n)))
	}
	both := "need"
	if len(who) == 2 {
		both = "both need"
	}
	return fmt.Sprintf("%s %s the %s at %s", listed(who), both, p.Resources[c.Resource].Name, clockOf(c.At))
}

func (r *barRound) order(n int) string { return "order " + called(n, r.problem.Orders[n]) }

func plural(resource string) string {
	if resource == "hands" {
		return "people"
	}
	return resource + "s"
}

// listed joins names as they are said.
func listed(names []string) string {
	text := ""
	for i, name := range names {
		switch {
		case i == 0:
		case i == len(names)-1:
			text += " and "
		default:
			text += ", "
		}
		text += name
	}
	return text
}

// The JSON of a round, schema 1: whole seconds from the round's zero. Orders
// count from 1 as they were placed; start_s is when water meets coffee,
// ready_s when the cup is. The action of what is prepared or done afterwards
// is that word. What a step uses beside the hands is listed; a brewer and a
// scale stay taken between the steps too, from the first that lists them to
// the last. The bound is what no plan's waiting can be below.
type jsonRound struct {
	Schema     int          `json:"schema"`
	Orders     []jsonOrder  `json:"orders"`
	Steps      []jsonBarAct `json:"steps"`
	TotalWaitS int          `json:"total_wait_s"`
	EndS       int          `json:"end_s"`
	BoundS     int          `json:"bound_s"`
	Proven     bool         `json:"proven"`
}

type jsonOrder struct {
	N       int    `json:"n"`
	Recipe  string `json:"recipe"`
	PlacedS int    `json:"placed_s"`
	StartS  int    `json:"start_s"`
	ReadyS  int    `json:"ready_s"`
}

type jsonBarAct struct {
	Order  int         `json:"order"`
	Action brew.Action `json:"action"`
	Label  string      `json:"label"`
	StartS int         `json:"start_s"`
	EndS   int         `json:"end_s"`
	Hands  brew.Hands  `json:"hands"`
	Uses   []string    `json:"uses"`
}

func (r *barRound) json() jsonRound {
	p := r.problem
	v := p.Value(r.plan)
	out := jsonRound{Schema: 1, Orders: []jsonOrder{}, Steps: []jsonBarAct{}, TotalWaitS: v.Wait, EndS: v.End, BoundS: r.claim.Bound, Proven: r.claim.Proven}
	for j, o := range p.Orders {
		out.Orders = append(out.Orders, jsonOrder{j + 1, r.menu.plans[o.Pattern].Name, o.Placed, r.plan.Zeros[j], p.Ready(r.plan, j)})
	}
	for _, d := range r.doings() {
		pat := p.Patterns[p.Orders[d.order].Pattern]
		out.Steps = append(out.Steps, jsonBarAct{d.order + 1, r.action(d), d.Name, d.from, d.to, handsOf(d), uses(p, pat, d.act)})
	}
	return out
}

// uses lists what an act uses beside the hands.
func uses(p *bar.Problem, pat bar.Pattern, act int) []string {
	out := []string{}
	for r, res := range p.Resources {
		held := slices.ContainsFunc(pat.Holds, func(h bar.Hold) bool { return h.Resource == r && h.From <= act && act <= h.To })
		if r != bar.Hands && (held || slices.Contains(pat.Acts[act].Uses, r)) {
			out = append(out, res.Name)
		}
	}
	return out
}

// action returns what kind of thing is done.
func (r *barRound) action(d doing) brew.Action {
	plan := r.menu.plans[r.problem.Orders[d.order].Pattern]
	switch {
	case d.Cue >= 0:
		return plan.Cues[d.Cue].Action
	case d.act < len(plan.Prepare):
		return "prepare"
	}
	return "afterwards"
}

// doing is one thing to do in a round.
type doing struct {
	bar.Act
	order, act, from, to int
	who                  int // from 0; -1 where it needs no hands
}

func (d doing) busy() bool { return slices.Contains(d.Uses, bar.Hands) }

// handsOf says whether a thing to do needs hands.
func handsOf(d doing) brew.Hands {
	if d.busy() {
		return brew.Busy
	}
	return brew.Free
}

// doings returns all that is to be done, in order of time.
func (r *barRound) doings() []doing { return doingsOf(r.problem, r.plan) }

func doingsOf(p *bar.Problem, pl bar.Plan) (out []doing) {
	dealt := p.Deal(pl, bar.Hands)
	for j, o := range p.Orders {
		for a, act := range p.Patterns[o.Pattern].Acts {
			out = append(out, doing{act, j, a, pl.Starts[j][a], pl.Starts[j][a] + act.Length, dealt[j][a]})
		}
	}
	slices.SortStableFunc(out, func(x, y doing) int { return x.from - y.from })
	return out
}

// summary says how good the plan is.
func (r *barRound) summary(w io.Writer, width int) {
	p := r.problem
	v := p.Value(r.plan)
	paragraph(w, width, fmt.Sprintf("%s, %s", counted(len(p.Orders), "order"), kitInWords(r.kit)))
	paragraph(w, width, fmt.Sprintf("%s: %s of waiting in all, %s for each, the last cup ready at %s",
		claimed(r.claim, r.limit), clockOf(v.Wait), clockOf((v.Wait+len(p.Orders)/2)/len(p.Orders)), clockOf(v.End)))
}

// claimed says what may be said of a plan.
func claimed(c bar.Claim, limit time.Duration) string {
	text := c.String()
	switch {
	case c.Proven:
		return text
	case text == "":
		return "best found within " + brew.Spoken(limit)
	}
	return "best found within " + brew.Spoken(limit) + ", " + text
}

// kitInWords says what stands at the bar.
func kitInWords(k bar.Kit) string {
	people := counted(k.People, "person")
	if k.People > 1 {
		people = fmt.Sprintf("%d people", k.People)
	}
	text := people + ", " + counted(k.Brewers, "brewer") + ", " + counted(k.Kettles, "kettle")
	if k.Scales > 0 {
		text += ", " + counted(k.Scales, "scale")
	}
	return text
}
