package main

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"sync"
	"text/tabwriter"
	"time"

	"barline/brew"
	"barline/brew/drift"
)

// driftTold is all that the command says of a recipe's brews.
type driftTold struct {
	lookedAt
	table   []drift.Summary
	page    drift.Page
	where   drift.Where
	against *driftAgainst // nil where there is no second set
	cup     *driftCup     // nil where nothing was read
}

// driftAgainst is what is said of the set against a second one.
type driftAgainst struct {
	pair
	page drift.Page
}

func (m lookedAt) told() (driftTold, error) {
	t := driftTold{lookedAt: m}
	var found sync.WaitGroup
	found.Go(func() { t.page, t.where = m.set.Findings(m.baseline), m.set.Where() }) // on the other processor
	t.table = m.set.Table(m.flags.of())
	found.Wait()
	p, err := m.apart()
	if err != nil || p == nil {
		return t, err
	}
	t.against = &driftAgainst{*p, drift.Against(p.a, p.b, p.names)}
	return t, nil
}

// text writes it for people.
func (t driftTold) text(to io.Writer) error {
	w := bufio.NewWriter(to)
	t.head(w)
	t.rows(w)
	t.findings(w)
	t.went(w)
	t.cupText(w)
	return w.Flush()
}

// head says which brews these are.
func (m lookedAt) head(w io.Writer) {
	first, last := m.set.Head(0), m.set.Head(m.set.Len()-1)
	brews := counted(m.set.Len(), m.flags.kind+" brew")
	days := first.Start.Format(time.DateOnly)
	if to := last.Start.Format(time.DateOnly); to != days {
		days += " to " + to
	}
	version := "version " + m.set.Version()
	if all := len(m.record.Versions()); m.flags.choice.version == "all" {
		version += ", older ones with it where they can be joined"
	} else if all > 1 {
		version += fmt.Sprintf(", one of %d (--version all joins them)", all)
	}
	say(w, "%s: %s, %s", m.recipe, brews, days)
	say(w, "%s", version)
	if names := m.set.Persons(); len(names) > 1 || names[0] != "" {
		lines(w, "by ", oneOf(names))
	}
	if m.leftOut > 0 {
		lines(w, "", fmt.Sprintf("%s cannot be read and are left out; barline journal verify says why", counted(m.leftOut, "brew")))
	}
}

// rows writes the table, beats, lengths and weights apart, and what of it is
// withheld.
func (t driftTold) rows(w io.Writer) {
	var missing []string
	for _, part := range []struct {
		what  drift.What
		title string
	}{
		{drift.Beats, "beats, " + t.flags.measure + " in s"},
		{drift.Lengths, "lengths, off in s"},
		{drift.Weights, "weights, off in g"},
	} {
		rows := slices.DeleteFunc(slices.Clone(t.table), func(s drift.Summary) bool { return s.Column.What != part.what })
		if len(rows) == 0 {
			continue
		}
		fmt.Fprintln(w)
		columns := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		fmt.Fprintf(columns, "%s\tn\tmedian\tmean\tsd\tquartiles\ton time\n", part.title)
		for _, s := range rows {
			fmt.Fprintf(columns, "%s\t%d\t%s\t%s\t%s\t%s\t%s\n", s.Column.Name, s.Tally.Marked, off(s.Median), off(s.Mean), size(s.SD), between(s.Lower, s.Upper), onTime(s.OnTime))
			missing = append(missing, lacking(s)...)
		}
		columns.Flush()
	}
	list(w, "not marked", missing)
	list(w, "withheld", withheld(t.table))
}

// off is a figure with its sign, '-' where it is withheld.
func off(f drift.Figure) string {
	if f.Withheld != "" {
		return "-"
	}
	return strings.TrimSuffix(brew.Signed(time.Duration(math.Round(f.Value*1e9))), " s")
}

// size is a figure that has none.
func size(f drift.Figure) string {
	if f.Withheld != "" {
		return "-"
	}
	return fmt.Sprintf("%.1f", f.Value)
}

func between(low, high drift.Figure) string {
	if low.Withheld != "" {
		return "-"
	}
	return off(low) + " to " + off(high)
}

// onTime is the share and its interval.
func onTime(s drift.Share) string {
	if s.Withheld != "" {
		return "-"
	}
	return fmt.Sprintf("%.0f %% (%.0f-%.0f)", 100*s.Rate(), 100*s.In.Low, 100*s.In.High)
}

// lacking says which marks there are not.
func lacking(s drift.Summary) []string {
	var parts []string
	for _, c := range []struct {
		n    int
		what string
	}{{s.Tally.Unmarked, "unmarked"}, {s.Tally.Skipped, "skipped"}, {s.Tally.NotReached, "not reached"}, {s.Tally.BehindBed, "not to be told from the bed's"}} {
		if c.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", c.n, c.what))
		}
	}
	if s.Tally.LeftOut > 0 {
		parts = append(parts, counted(s.Tally.LeftOut, "brew")+" of versions that cannot be joined")
	}
	if len(parts) == 0 || s.Column.What == drift.Lengths && s.Tally.LeftOut == 0 {
		return nil
	}
	return []string{s.Column.Name + ": " + strings.Join(parts, ", ")}
}

// withheld says which figures of the table are not shown, and why: a line for
// each figure and reason, with the rows it is so in.
func withheld(table []drift.Summary) []string {
	var order []string
	rows := map[string][]string{}
	for _, s := range table {
		for _, f := range []struct {
			name, least string
			why         drift.Reason
		}{{"median and mean", "median", s.Median.Withheld}, {"sd", "standard deviation", s.SD.Withheld}, {"quartiles", "quartiles", s.Lower.Withheld}, {"on time", "share on time", s.OnTime.Withheld}} {
			if f.why == "" || f.why == drift.NoWindow {
				continue
			}
			line := f.name + ": " + f.why.Because(f.least)
			if rows[line] == nil {
				order = append(order, line)
			}
			rows[line] = append(rows[line], rowName(s.Column))
		}
	}
	for i, line := range order {
		if of := rows[line]; len(of) < len(table) {
			order[i] += " (" + strings.Join(of, "; ") + ")"
		}
	}
	return order
}

// rowName names a row where beats, lengths and weights stand together.
func rowName(c drift.Column) string {
	if c.What == drift.Beats {
		return c.Name
	}
	return string(c.What) + " of " + c.Name
}
