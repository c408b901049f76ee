package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/cmd/barline/internal/journal"
)

// takenOn is how a take's day and hour are written.
const takenOn = "2006-01-02 15:04"

// printTakes writes the table of takes.
func printTakes(out io.Writer, t taken, table routine.Table) {
	first, last := t.takes[0], t.takes[len(t.takes)-1]
	water := ""
	if t.pool.Dry {
		water = ", without water"
	}
	if first.Partial {
		water += ", " + first.Plan.Sections[t.pool.From].Name + " to " + first.Plan.Sections[t.pool.To].Name
	}
	say(out, "%s: %s%s, version %s, %s to %s%s", t.routine, counted(len(t.takes), "take"), water, t.pool.Version,
		first.Start.Format("2006-01-02"), last.Start.Format("2006-01-02"), t.rest())
	t.sayBroken(out)
	fmt.Fprintln(out)
	printSections(out, table)
	fmt.Fprintln(out)
	for _, line := range losses(table) {
		say(out, "%s", line)
	}
	say(out, "%s", saidAlike(table.Alike))
	fmt.Fprintln(out)
	printList(out, t.takes)
}

// printSections writes a row for each section, and one for the whole.
func printSections(out io.Writer, table routine.Table) {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	io.WriteString(w, cells("section", "written", "latest", "best", fmt.Sprintf("median of %d", min(routine.Latest, len(table.Takes))), "spread", "trend a take", "slip", "time lost"))
	for _, r := range append(table.Sections[:len(table.Sections):len(table.Sections)], table.Whole) {
		io.WriteString(w, cells(r.Name, clockTenths(r.Written), clockTenths(r.Took[len(r.Took)-1]), clockTenths(r.Best), figured(r.Median, clockTenths),
			figured(r.Spread, inTenths), trend(r), figured(r.Slip, brew.Signed), fmt.Sprintf("%d of %d", r.Lost, len(table.Takes))))
	}
	w.Flush()
}

// clockTenths is a length of time on a clock, to a tenth of a second.
func clockTenths(d time.Duration) string {
	d = d.Round(100 * time.Millisecond)
	return fmt.Sprintf("%s.%d", brew.Clock(d), d.Abs()%time.Second/(100*time.Millisecond))
}

func inTenths(d time.Duration) string { return fmt.Sprintf("%.1f s", d.Seconds()) }

// figured is a figure, or that too few takes bear it.
func figured(f routine.Figure, as func(time.Duration) string) string {
	if !f.Known {
		return "-"
	}
	return as(f.Value)
}

// trend is a section's trend in words.
func trend(r routine.Row) string {
	switch {
	case !r.Trend.Known:
		return "-"
	case r.Steady:
		return "none shown"
	}
	return brew.Signed(r.Trend.Value)
}

// losses says in which sections time is lost on most takes.
func losses(table routine.Table) []string {
	if len(table.Takes) < routine.LeastTook {
		return []string{fmt.Sprintf("where time is lost is told from %d takes on", routine.LeastTook)}
	}
	if len(table.Losing) == 0 {
		return []string{"in no section is time lost, by slip, on most takes"}
	}
	var out []string
	for _, i := range table.Losing {
		r := table.Sections[i]
		out = append(out, fmt.Sprintf("time is lost in %s on %d of %d takes: %s by slip, usually", r.Name, r.Lost, len(table.Takes), brew.Signed(r.Slip.Value)))
	}
	return out
}

// saidAlike says how alike the latest takes are.
func saidAlike(a routine.Alike) string {
	switch {
	case a.Takes < 2:
		return "how alike takes are is told from 2 takes on"
	case a.Beats == 0:
		return fmt.Sprintf("nothing was marked in all of the latest %d takes", a.Takes)
	}
	return fmt.Sprintf("the latest %d takes are alike to %s: half of the %d things marked in all of them lie closer; widest apart is %s, by %s",
		a.Takes, inTenths(a.Range), a.Beats, a.Worst, inTenths(a.Wide))
}

// printList writes a row for each take.
func printList(out io.Writer, takes []routine.Result) {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	io.WriteString(w, cells("n", "take", "begun", "by", "length", "against the plan", "talk", "hands", "bed", "penalty"))
	for i, r := range takes {
		off, _ := r.Drift()
		io.WriteString(w, cells(strconv.Itoa(i+1), r.Short, r.Start.Format(takenOn), r.Person, clockTenths(r.Length()), brew.Signed(off),
			summed(r.Talk), summed(r.Hands), summed(r.Bed), r.Penalty.String()))
	}
	w.Flush()
}

// summed is the sum of slips, or that there was no mark.
func summed(s routine.Sum) string {
	if s.Marks == 0 {
		return "-"
	}
	return brew.Signed(s.Slip)
}

// printCompare writes two takes beat by beat.
func printCompare(out io.Writer, a, b routine.Result, pairs []routine.Pair) {
	for i, r := range []routine.Result{a, b} {
		off, _ := r.Drift()
		say(out, "%c: take %s of %s, %s, %s against the plan, %s", 'A'+i, r.Short, r.Start.Format(takenOn), clockTenths(r.Length()), brew.Signed(off), r.Penalty)
	}
	if a.Plan.Version != b.Plan.Version {
		say(out, "they are of different versions, %s and %s: each drift counts from its own", a.Plan.Version, b.Plan.Version)
	}
	fmt.Fprintln(out)
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	io.WriteString(w, cells("written", "section", "what", "A", "B", "B later by"))
	for _, p := range pairs {
		io.WriteString(w, cells(brew.Clock(p.Written[0]), p.Section, p.Name, figured(p.Drift[0], brew.Signed), figured(p.Drift[1], brew.Signed), apart(p)))
	}
	w.Flush()
}

func apart(p routine.Pair) string {
	d, known := p.Apart()
	if !known {
		return "-"
	}
	return brew.Signed(d)
}

// writeTakesCSV writes a line for each section of each take, and one for its
// whole.
func writeTakesCSV(out io.Writer, takes []routine.Result) error {
	w := csv.NewWriter(out)
	w.Write(strings.Fields("take begun person version dry section written_s took_s slip_s penalty_points out"))
	for _, r := range takes {
		row := func(section string, written, took time.Duration, known bool, slip routine.Sum, points, out string) {
			w.Write([]string{r.ID, r.Start.Format(time.RFC3339), journal.Inert(r.Person), r.Plan.Version, strconv.FormatBool(r.Dry), journal.Inert(section),
				csvSeconds(written, true), csvSeconds(took, known), csvSeconds(slip.Slip, slip.Marks > 0), points, out})
		}
		for _, s := range r.Sections {
			row(s.Name, s.Written, s.Took, s.Known, s.Slip, "", "")
		}
		slip := routine.Sum{Marks: r.Talk.Marks + r.Hands.Marks, Slip: r.Talk.Slip + r.Hands.Slip}
		row("whole", r.Plan.End, r.Length(), true, slip, strconv.Itoa(r.Penalty.Points), strconv.FormatBool(r.Penalty.Out))
	}
	w.Flush()
	return w.Error()
}

// writeCompareCSV writes two takes beat by beat.
func writeCompareCSV(out io.Writer, pairs []routine.Pair) error {
	w := csv.NewWriter(out)
	w.Write(strings.Fields("key name voice section written_a_s written_b_s drift_a_s drift_b_s slip_a_s slip_b_s"))
	for _, p := range pairs {
		w.Write([]string{p.Key, journal.Inert(p.Name), string(p.Voice), journal.Inert(p.Section), csvSeconds(p.Written[0], true), csvSeconds(p.Written[1], true),
			csvSeconds(p.Drift[0].Value, p.Drift[0].Known), csvSeconds(p.Drift[1].Value, p.Drift[1].Known),
			csvSeconds(p.Slip[0].Value, p.Slip[0].Known), csvSeconds(p.Slip[1].Value, p.Slip[1].Known)})
	}
	w.Flush()
	return w.Error()
}

func csvSeconds(d time.Duration, known bool) string {
	if !known {
		return ""
	}
	return strconv.FormatFloat(inSeconds(d), 'f', -1, 64)
}
