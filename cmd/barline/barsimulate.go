package main

import (
	"fmt"
	"math"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"barline/brew/bar"

	"github.com/spf13/cobra"
)

// simulateFlags are what a day is made of.
type simulateFlags struct {
	kit       kitFlags
	rate, mix string
	seed      uint64
	days      int
	worth     time.Duration
	asJSON    bool
}

const mostDays = 1000

// newBarSimulate returns the command that simulates days of orders.
func newBarSimulate(a *app) *cobra.Command {
	var f simulateFlags
	cmd := &cobra.Command{
		Use:   "simulate",
		Short: "simulate days of orders: who waits how long, and what would help",
		Long: "simulate draws days of orders by chance and serves them by the bar's own plans, made\n" +
			"again at every order. It tells hour by hour how long people wait and what is in use\n" +
			"most, and plays the same orders with one more brewer, one more person and wider\n" +
			"windows. Nothing slips: real days are slower than these.",
		Example: "  barline bar simulate --brewers 2 --rate 8:00=6,9:00=12,12:00=4,14:00=0 --mix quayside-cone=3,quayside-press=1",
		Args:    flagsAlone,
		RunE: func(*cobra.Command, []string) error {
			s, err := a.simulation(f)
			if err != nil {
				return err
			}
			if err := s.run(); err != nil {
				return &inputError{"the day cannot be served: " + err.Error(), ""}
			}
			if f.asJSON {
				return printJSON(a.stdout, s.json())
			}
			s.print(a.stdout, a.across())
			return nil
		},
	}
	f.kit.register(cmd)
	flags := cmd.Flags()
	flags.StringVar(&f.rate, "rate", "", "orders an hour from each hour on, the last an hour long unless it is 0: 8:00=12,9:00=20,11:00=0")
	flags.StringVar(&f.mix, "mix", "", "how often each recipe is ordered: RECIPE=3,RECIPE=1")
	flags.Uint64Var(&f.seed, "seed", 1, "what chance does follows from this number")
	flags.IntVar(&f.days, "days", 20, "how many days to play; the more, the less is left to chance")
	f.worth = 30 * time.Second
	flags.Var((*lengthFlag)(&f.worth), "worth", "by how much the mean wait must be less for a change to be worth it")
	flags.BoolVar(&f.asJSON, "json", false, "as JSON")
	return cmd
}

// simulation is a number of days and what they came to.
type simulation struct {
	simulateFlags
	standing bar.Kit
	opens    int // the hour
	day      bar.Day
	base     []bar.Outcome   // of each day
	changed  [][]bar.Outcome // of each change, of each day
	what     []string        // the changes
}

// simulation reads what is to be simulated.
func (a *app) simulation(f simulateFlags) (*simulation, error) {
	kit, err := f.kit.kit()
	if err != nil {
		return nil, err
	}
	if f.days < 1 || f.days > mostDays {
		return nil, &usageError{fmt.Sprintf("--days %d, wanted 1 to %d", f.days, mostDays), ""}
	}
	if f.worth < 0 {
		return nil, &usageError{fmt.Sprintf("--worth %s, wanted 0s or more", f.worth), ""}
	}
	opens, rates, err := readRates(f.rate)
	if err != nil {
		return nil, err
	}
	m := a.menu()
	mix, err := readMix(f.mix, m)
	if err != nil {
		return nil, err
	}
	day := bar.Day{Kit: kit, Patterns: m.patterns, Mix: mix, Rates: rates, Seed: f.seed, Passing: 1}
	if err := day.Valid(); err != nil {
		return nil, &usageError{err.Error(), "give one recipe of --mix a share above 0"}
	}
	return &simulation{simulateFlags: f, standing: kit, opens: opens, day: day}, nil
}

// readRates reads the orders an hour, from the hour of opening on.
func readRates(text string) (opens int, rates []float64, err error) {
	const hint = "write H:00=ORDERS for the hours at which it changes, such as 8:00=12,9:00=20,11:00=0"
	if text == "" {
		return 0, nil, &usageError{"there is no --rate", hint}
	}
	for i, part := range strings.Split(text, ",") {
		when, many, _ := strings.Cut(part, "=")
		hour, isHour := strings.CutSuffix(strings.TrimSpace(when), ":00")
		at, errAt := strconv.Atoi(hour)
		rate, errRate := strconv.ParseFloat(strings.TrimSpace(many), 64)
		switch {
		case !isHour || errAt != nil || at < 0 || at > 23:
			return 0, nil, &usageError{fmt.Sprintf("--rate %q: %q is no full hour", text, when), hint}
		case errRate != nil || !(rate >= 0 && rate <= 1000):
			return 0, nil, &usageError{fmt.Sprintf("--rate %q: %q is no number of orders from 0 to 1000", text, many), hint}
		case i > 0 && at < opens+len(rates):
			return 0, nil, &usageError{fmt.Sprintf("--rate %q: %s does not come after the hour before it", text, when), ""}
		case i == 0:
			opens = at
		}
		for len(rates) > 0 && opens+len(rates) < at {
			rates = append(rates, rates[len(rates)-1])
		}
		rates = append(rates, rate)
	}
	for len(rates) > 0 && rates[len(rates)-1] == 0 {
		rates = rates[:len(rates)-1]
	}
	if len(rates) == 0 {
		return 0, nil, &usageError{fmt.Sprintf("--rate %q has no orders at all", text), hint}
	}
	return opens, rates, nil
}

// readMix reads how often each recipe is ordered.
func readMix(text string, m *menu) ([]float64, error) {
	const hint = "write RECIPE=SHARE for each recipe, such as quayside-cone=3,quayside-press=1"
	if text == "" {
		return nil, &usageError{"there is no --mix", hint}
	}
	var mix []float64
	for _, part := range strings.Split(text, ",") {
		name, share, has := part, 1.0, false
		if i := strings.LastIndex(part, "="); i >= 0 {
			name, has = part[:i], true
		}
		if has {
			var err error
			if share, err = strconv.ParseFloat(strings.TrimSpace(part[len(name)+1:]), 64); err != nil || !(share >= 0 && share <= 1e6) {
				return nil, &usageError{fmt.Sprintf("--mix %q: %q is no share", text, part[len(name)+1:]), hint}
			}
		}
		if name = strings.TrimSpace(name); name == "" {
			return nil, &usageError{fmt.Sprintf("--mix %q names no recipe before %q", text, part), hint}
		}
		n, err := m.of(name)
		if err != nil {
			return nil, within(fmt.Sprintf("--mix %q", text), err)
		}
		for len(mix) < len(m.patterns) {
			mix = append(mix, 0)
		}
		mix[n] += share
	}
	return mix, nil
}

// run plays the days, as many at once as there are processors. What comes of a
// day follows from its seed alone.
func (s *simulation) run() error {
	s.base = make([]bar.Outcome, s.days)
	changes, errs := make([][]bar.Change, s.days), make([]error, s.days)
	var playing sync.WaitGroup
	free := make(chan bool, runtime.NumCPU())
	for i := range s.days {
		playing.Add(1)
		free <- true
		go func() {
			defer func() { <-free; playing.Done() }()
			day := s.day
			day.Seed += uint64(i)
			if s.base[i], errs[i] = day.Run(); errs[i] == nil {
				changes[i], errs[i] = day.Changes()
			}
		}()
	}
	playing.Wait()
	if i := slices.IndexFunc(errs, func(err error) bool { return err != nil }); i >= 0 {
		return errs[i]
	}
	for c, change := range changes[0] {
		s.what = append(s.what, change.What)
		s.changed = append(s.changed, nil)
		for _, day := range changes {
			s.changed[c] = append(s.changed[c], day[c].Outcome)
		}
	}
	return nil
}

// hourOf is an hour over all days.
type hourOf struct {
	hour       int
	orders     float64 // a day
	wait       float64 // mean over all orders, in seconds; NaN without any
	worst      int
	busy       []float64
	bottleneck int     // the resource of which one more would help most; -1 for none
	gain       float64 // by how many seconds the mean wait would be shorter
}

// hours puts the days together, hour by hour.
func (s *simulation) hours() (out []hourOf) {
	for h := range s.day.Rates {
		of := func(o bar.Outcome) bar.Hour { return o.Hours[h] }
		hour := s.over(s.opens+h, of)
		hour.bottleneck, hour.gain = s.bottleneck(of)
		out = append(out, hour)
	}
	return out
}

// over puts the same stretch of all days together.
func (s *simulation) over(hour int, of func(bar.Outcome) bar.Hour) hourOf {
	out := hourOf{hour: hour, busy: make([]float64, len(s.standing.Resources())), bottleneck: -1}
	orders, wait := 0, 0
	for _, o := range s.base {
		h := of(o)
		orders, wait, out.worst = orders+h.Orders, wait+h.Wait, max(out.worst, h.Worst)
		for r, b := range h.Busy {
			out.busy[r] += b / float64(s.days)
		}
	}
	out.orders, out.wait = float64(orders)/float64(s.days), float64(wait)/float64(orders)
	return out
}

// bottleneck returns the resource of which one more would shorten the mean
// wait of an hour most, -1 where none surely does so by what is worth it. The
// intervals hold for all hours and both resources together.
func (s *simulation) bottleneck(of func(bar.Outcome) bar.Hour) (resource int, gain float64) {
	resource = -1
	for c, r := range []int{bar.Brewer, bar.Hands} { // as the changes stand
		less := meanOf(shorter(s.base, s.changed[c], of), 1-(1-level)/float64(2*len(s.day.Rates)))
		if less.low > 0 && less.mean >= s.worth.Seconds() && less.mean > gain {
			resource, gain = r, less.mean
		}
	}
	return resource, gain
}

// shorter returns by how much the mean wait of each day is shorter with a
// change; days without an order then do not count.
func shorter(base, changed []bar.Outcome, of func(bar.Outcome) bar.Hour) (out []float64) {
	for i := range base {
		if was, is := of(base[i]), of(changed[i]); was.Orders > 0 {
			out = append(out, was.Mean()-is.Mean())
		}
	}
	return out
}

// total is the whole of a day.
func total(o bar.Outcome) bar.Hour { return o.Total }

// level is at which the intervals hold; those of the changes all together.
const level = 0.95

// waits returns the mean wait of each day that has orders.
func waits(days []bar.Outcome) (out []float64) {
	for _, d := range days {
		if d.Total.Orders > 0 {
			out = append(out, d.Total.Mean())
		}
	}
	return out
}

// effect is what a change does to the mean wait.
type effect struct {
	what string
	wait float64    // mean with the change
	less meanWithin // seconds less, of the same orders
}

// effects sets the changed days against the same days as they are. The
// intervals are wider by Bonferroni's rule, as there is more than one.
func (s *simulation) effects() (out []effect) {
	for c, what := range s.what {
		less := shorter(s.base, s.changed[c], total)
		out = append(out, effect{what, mean(waits(s.changed[c])), meanOf(less, 1-(1-level)/float64(len(s.what)))})
	}
	return out
}

func mean(xs []float64) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += x
	}
	return sum / float64(len(xs))
}

// answer says whether a change is worth it, and how sure that is.
func (s *simulation) answer(e effect) string {
	worth := s.worth.Seconds()
	gain := "the mean wait would not change"
	if math.Round(e.less.mean) != 0 || math.Round(e.less.high-e.less.low) != 0 {
		gain = fmt.Sprintf("the mean wait would be %s (%s at %.0f %%)", lessBy(e.less.mean), intervalOf(e.less), 100*level)
	}
	switch {
	case math.IsInf(e.less.low, 0):
		return fmt.Sprintf("one day cannot tell: that day the mean wait would be %s; give more --days", lessBy(e.less.mean))
	case e.less.low >= worth && e.less.low > 0:
		return "yes: " + gain
	case e.less.high < worth || worth == 0 && e.less.high <= 0:
		return fmt.Sprintf("no: %s; %.0f s is asked for", gain, worth)
	}
	return fmt.Sprintf("%s cannot tell whether by %.0f s: %s; more --days may", counted(s.days, "day"), worth, gain)
}

// lessBy says a gain in words.
func lessBy(s float64) string {
	if s < 0 {
		return longAs(-s) + " longer"
	}
	return longAs(s) + " shorter"
}

func intervalOf(s meanWithin) string { return signedOf(s.low) + " to " + signedOf(s.high) }

// signedOf returns seconds as a clock shows them, a loss with its sign.
func signedOf(s float64) string {
	if math.Round(s) < 0 {
		return "-" + longAs(-s)
	}
	return longAs(s)
}

// longAs returns seconds as a clock shows them.
func longAs(s float64) string { return clockOf(int(math.Round(s))) }

// ordinal returns a number as a place in a row.
func ordinal(n int) string {
	switch {
	case n == 2:
		return "second"
	case n == 3:
		return "third"
	case n == 4:
		return "fourth"
	case n == 5:
		return "fifth"
	}
	return strconv.Itoa(n) + "th"
}
