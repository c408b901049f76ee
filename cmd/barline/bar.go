package main

import (
	"fmt"
	"time"

	"barline/brew"
	"barline/brew/bar"

	"github.com/spf13/cobra"
)

// newBar returns the command of the bar: several brews, one pair of hands.
func newBar(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "bar",
		Short: "several orders, one pair of hands: call a service; plan a round, simulate a day",
	}
	a.serve(cmd)
	cmd.AddCommand(a.checkOutput(newBarPlan(a)), a.checkOutput(newBarSimulate(a)))
	return cmd
}

// kitFlags are the flags that say what stands at the bar.
type kitFlags struct{ people, brewers, kettles, scales int }

// mostOfEach is the most of anything that a bar is taken to have.
const mostOfEach = 20

func (k *kitFlags) register(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.IntVar(&k.people, "people", 1, "how many people brew")
	flags.IntVar(&k.brewers, "brewers", 3, "how many brewers there are")
	flags.IntVar(&k.kettles, "kettles", 1, "how many kettles there are")
	flags.IntVar(&k.scales, "scales", 0, "how many scales there are (default one for each brewer)")
}

// kit returns what stands at the bar.
func (k kitFlags) kit() (bar.Kit, error) {
	for _, f := range []struct {
		name     string
		n, least int
	}{{"people", k.people, 1}, {"brewers", k.brewers, 1}, {"kettles", k.kettles, 1}, {"scales", k.scales, 0}} {
		if f.n < f.least || f.n > mostOfEach {
			return bar.Kit{}, &usageError{fmt.Sprintf("--%s %d, wanted %d to %d", f.name, f.n, f.least, mostOfEach), ""}
		}
	}
	return bar.Kit{People: k.people, Brewers: k.brewers, Kettles: k.kettles, Scales: k.scales}, nil
}

// menu reads each recipe once, however often it is asked for.
type menu struct {
	a        *app
	plans    []*brew.Plan
	patterns []bar.Pattern
	known    map[string]int // by what it was asked for as
}

func (a *app) menu() *menu { return &menu{a: a, known: map[string]int{}} }

// of returns the number of a recipe. What is unwise in it is for check to
// tell, not for every order.
func (m *menu) of(name string) (int, error) {
	if n, is := m.known[name]; is {
		return n, nil
	}
	plan, _, _, err := m.a.planned(name, "")
	if err != nil {
		return 0, err
	}
	for n, p := range m.plans {
		if p.Name == plan.Name && p.Version == plan.Version {
			m.known[name] = n
			return n, nil
		}
	}
	m.known[name] = len(m.plans)
	m.plans, m.patterns = append(m.plans, plan), append(m.patterns, bar.Read(plan))
	return m.known[name], nil
}

// slice is how many nodes a search takes at once where nobody waits for it.
const slice = 64

// advance lets a search work until it is over or the time is up. It looks at
// the clock often enough to overrun by little, however long a node takes.
func (a *app) advance(s *bar.Search, limit time.Duration) {
	const often = 10 * time.Millisecond
	start := a.now()
	for nodes, last := 1, start; s.Advance(nodes); {
		now := a.now()
		switch took := now - last; {
		case now-start >= limit:
			return
		case took < often/2 && nodes < 1<<16:
			nodes *= 2
		case took > often:
			nodes = max(nodes/2, 1)
		}
		last = now
	}
}

// clockOf returns a tick as a clock shows it.
func clockOf(tick int) string { return brew.Clock(seconds(tick)) }

// seconds returns ticks as a length of time.
func seconds(ticks int) time.Duration { return time.Duration(ticks) * time.Second }
