package main

import (
	"context"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"barline/brew"
	"barline/brew/bar"
	"barline/cmd/barline/internal/journal"

	"github.com/spf13/cobra"
)

// newRounds returns the command that lists the rounds.
func newRounds(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "rounds",
		Short: "list the rounds, the newest first: services of the bar and cupping tables",
		Args:  flagsAlone,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.readJournal(func(j *journal.Journal) error { return a.listRounds(cmd.Context(), j) })
		},
	}
}

// listRounds writes a line a round.
func (a *app) listRounds(ctx context.Context, j *journal.Journal) error {
	rounds, err := j.Rounds(ctx)
	if err != nil {
		return err
	}
	t := tabwriter.NewWriter(a.stdout, 0, 0, 2, ' ', 0)
	for _, r := range rounds {
		whole, err := j.RoundOf(ctx, r.ID)
		if err != nil {
			return err
		}
		io.WriteString(t, cells(r.ID[:13], a.when(r.Start), string(r.Kind), r.Person, roundWords(readRound(whole))))
	}
	return t.Flush()
}

// roundWords says how a round went.
func roundWords(r roundRead) string {
	if r.err != nil {
		return counted(len(r.Brews), "brew") + ", and its record does not fit together"
	}
	return servedWords(r.service)
}

// servedWords says how far a service has come.
func servedWords(s bar.Service) string {
	served, open := 0, 0
	for _, t := range s.Look(s.Latest()).Tickets {
		switch t.State {
		case bar.OrderServed, bar.OrderServing:
			served++
		case bar.OrderDropped:
		default:
			open++
		}
	}
	text := fmt.Sprintf("%s, %d served, %s", counted(s.Orders(), "order"), served, counted(s.Brews(), "brew"))
	if open > 0 {
		text += fmt.Sprintf(", %d open", open)
	}
	return text
}

// showRound writes everything that is known of a round.
func (a *app) showRound(o journal.WholeRound) error {
	r, w := readRound(o), a.stdout
	say(w, "round %s", r.ID)
	say(w, "%s, opened %s", r.Kind, a.exactly(r.Start))
	if r.Person != "" {
		say(w, "by %s", r.Person)
	}
	say(w, "%s", roundWords(r))
	if r.err != nil {
		return &inputError{"round " + r.ID + ": " + r.err.Error(), a.typed("journal", "verify") + " says what else is wrong"}
	}
	say(w, "")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	io.WriteString(t, cells("order", "recipe", "placed", "begun", "ready", "waited", "state", "brew"))
	for _, ticket := range r.service.Look(r.service.Latest()).Tickets {
		io.WriteString(t, cells(r.orderCells(ticket)...))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	for _, e := range r.Events {
		for _, line := range r.eventLines(e) {
			say(w, "%s", line)
		}
	}
	return nil
}

// orderCells returns what is told of an order of a round; times are those of
// the round's clock.
func (r roundRead) orderCells(t bar.TicketLook) []string {
	name := fmt.Sprint(t.Order + 1)
	if t.Name != "" {
		name += " " + t.Name
	}
	begun, ready, waited, id, state := "", "", "", "", string(t.State)
	if t.Brew >= 0 {
		begun = brew.Clock(t.Zero)
		for _, b := range r.Brews {
			if b.Lane == t.Brew {
				id = b.ID
			}
		}
	}
	if t.Sure == bar.SurePast {
		ready, waited = brew.Clock(t.Ready), brew.Clock(t.Ready-t.Placed)
	}
	if t.Why != "" && t.Why != state {
		state += ": " + t.Why
	}
	return []string{name, r.service.DishOf(t.Order).Plan.Name, brew.Clock(t.Placed), begun, ready, waited, state, id}
}

// eventLines tells what happened to a round, but for what its orders tell.
func (r roundRead) eventLines(recorded brew.Event) []string {
	e, _, err := bar.ReadServiceEvent(recorded)
	switch {
	case err != nil:
		return nil
	case e.Kind == bar.PlanAdopted:
		return r.giveLines(e)
	}
	if text := eventText(e); text != "" {
		return []string{"at " + brew.Clock(e.At) + " " + text}
	}
	return nil
}

// eventText says what happened.
func eventText(e bar.ServiceEvent) string {
	switch e.Kind {
	case bar.KitChanged:
		return fmt.Sprintf("out of use: %s, %s, %s", counted(e.Out.Brewers, "brewer"), counted(e.Out.Kettles, "kettle"), counted(e.Out.Scales, "scale"))
	case bar.KettleEmpty:
		return "a kettle was empty until " + brew.Clock(e.Until)
	case bar.PeopleChanged:
		return "at work: " + strings.Join(e.People, ", ")
	case bar.MenuChanged:
		return "another recipe from then on: " + e.Plan.Name
	case bar.OrderHeld:
		if e.Until > 0 {
			return fmt.Sprintf("order %d was held until %s", e.Order+1, brew.Clock(e.Until))
		}
		return fmt.Sprintf("order %d was held", e.Order+1)
	case bar.OrderReleased:
		return fmt.Sprintf("order %d was let go", e.Order+1)
	case bar.OrderMovedUp:
		return fmt.Sprintf("order %d was moved up", e.Order+1)
	case bar.OrderRemade:
		return fmt.Sprintf("order %d was made again", e.Order+1)
	case bar.ServiceClosed:
		return "the service was closed"
	}
	return ""
}

// giveLines tells which running brews gave way.
func (r roundRead) giveLines(e bar.ServiceEvent) (out []string) {
	for _, g := range e.Schedule.Gives {
		if g.Order >= r.service.Orders() || g.Act >= len(r.service.DishOf(g.Order).Pattern.Acts) {
			continue
		}
		act := r.service.DishOf(g.Order).Pattern.Acts[g.Act].Name
		text := fmt.Sprintf("at %s order %d gave way: %s %s behind its window", brew.Clock(e.At), g.Order+1, act, brew.Spoken(seconds(g.Late)))
		if g.Cup > 0 {
			text += ", its cup " + brew.Spoken(seconds(g.Cup)) + " later"
		}
		out = append(out, text)
	}
	return out
}

// verifyRounds says of which rounds the records do not fit together.
func (a *app) verifyRounds(ctx context.Context, j *journal.Journal) (wrong int, err error) {
	rounds, err := j.Rounds(ctx)
	if err != nil {
		return 0, err
	}
	for _, r := range rounds {
		if r.Text == "" {
			continue // kept for its brews alone
		}
		whole, err := j.RoundOf(ctx, r.ID)
		if err != nil {
			return wrong, err
		}
		if read := readRound(whole); read.err != nil {
			say(a.stdout, "round: %s: %s", r.ID, read.err)
			wrong++
		}
	}
	return wrong, nil
}
