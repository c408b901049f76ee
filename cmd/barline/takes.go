package main

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"barline/brew/drift"
	"barline/brew/routine"
	"barline/cmd/barline/internal/journal"

	"github.com/spf13/cobra"
)

// takesFlags say which takes to look at, and what to write of them.
type takesFlags struct {
	dry     bool
	part    bool
	version string
	kind    string
	compare string
	json    bool
	csv     bool
}

// newTakes returns the command that tells of the takes of a routine.
func newTakes(a *app) *cobra.Command {
	f := &takesFlags{}
	cmd := &cobra.Command{
		Use:   "takes ROUTINE [SECOND]",
		Short: "say what the takes of a routine tell: sections, drift, penalties",
		Long: "takes looks at the takes of a routine that can be set beside each other: whole, of the\n" +
			"newest version, with water. --compare A B sets two of them beside each other beat by\n" +
			"beat; a take is named by its number in the list, by how its id begins, or as last.",
		Args:              cobra.RangeArgs(1, 2),
		ValidArgsFunction: a.completeRoutines(),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := f.check(args); err != nil {
				return err
			}
			return a.readJournal(func(j *journal.Journal) error { return a.takes(cmd.Context(), j, f, args) })
		},
	}
	flags := cmd.Flags()
	flags.BoolVar(&f.dry, "dry", false, "the takes without water, which are kept apart")
	flags.BoolVar(&f.part, "part", false, "the takes of the sections that the latest take in part was of")
	flags.StringVar(&f.version, "version", "", "of the routine as planned: how it begins (default that of the latest take)")
	flags.StringVar(&f.kind, "kind", "", "only rehearsal, practice, service or demo")
	flags.StringVar(&f.compare, "compare", "", "set this take beside the one named behind it")
	flags.BoolVar(&f.json, "json", false, "as JSON")
	flags.BoolVar(&f.csv, "csv", false, "a line for each take and section as CSV, for a spreadsheet")
	return cmd
}

// check refuses what means nothing, whatever the journal holds.
func (f *takesFlags) check(args []string) error {
	switch {
	case f.json && f.csv:
		return fmt.Errorf("--json and --csv: one of them")
	case f.kind != "" && !knownKind(drift.Kind(f.kind)):
		return fmt.Errorf("--kind %q is none of service, rehearsal, practice, demo", f.kind)
	case f.compare == "" && len(args) > 1:
		return fmt.Errorf("%q stands behind the routine, but --compare does not say beside which take", args[1])
	case f.compare != "" && len(args) < 2:
		return fmt.Errorf("--compare %s, but beside which take?", f.compare)
	}
	return nil
}

// taken is the takes of a routine: those that are looked at, and the rest.
type taken struct {
	routine string
	all     []routine.Result // that can be read, oldest first
	pool    routine.Pool
	takes   []routine.Result // of the pool
	broken  []error          // of those that cannot be read
	partial int              // of the rest: in part where whole ones are looked at, or the other way round
	stopped int
	cut     int // off, as by a crash
	wet     int // with water where dry ones are looked at, or the other way round
	older   int // of other versions
	slow    int // at another speed
}

// routineCalled returns the name under which the takes of a routine are kept: a
// file may be gone, its takes are not.
func (a *app) routineCalled(name string) (string, error) {
	document, err := a.findRoutine(name)
	switch {
	case err == nil && document.Routine().Name != "":
		return document.Routine().Name, nil
	case err != nil && isPath(name):
		return "", err
	}
	return name, nil
}

// takes tells of the takes of a routine.
func (a *app) takes(ctx context.Context, j *journal.Journal, f *takesFlags, args []string) error {
	t, err := a.takesOf(ctx, j, args[0], f)
	if err != nil {
		return err
	}
	if f.compare != "" {
		return a.compareTakes(t, f, args[1])
	}
	if len(t.takes) == 0 {
		return &inputError{"no such take of " + t.routine + " to look at" + t.rest(), "barline plan shows the routine; takes that were stopped or cut off are not counted; --part and --dry show others"}
	}
	table := routine.TableOf(t.takes)
	switch {
	case f.json:
		return printJSON(a.stdout, takesJSON(t, table))
	case f.csv:
		return writeTakesCSV(a.stdout, t.takes)
	}
	printTakes(a.stdout, t, table)
	return nil
}

// takesOf reads the takes of a routine, which need not be at hand.
func (a *app) takesOf(ctx context.Context, j *journal.Journal, name string, f *takesFlags) (taken, error) {
	name, err := a.routineCalled(name)
	if err != nil {
		return taken{}, err
	}
	t := taken{routine: name}
	records, err := j.Taken(ctx, t.routine)
	if err != nil {
		return taken{}, err
	}
	if len(records) == 0 {
		return taken{}, &inputError{"no takes of " + strconv.Quote(t.routine) + " in the journal", "a routine goes by its name or its file's, as barline plan finds it"}
	}
	t.routine = records[0].Routine
	t.all, t.broken = resultsOf(records, f.kind)
	t.choose(f)
	return t, nil
}

// resultsOf replays the takes of a kind. What cannot be followed is told.
func resultsOf(records []journal.Taken, kind string) (out []routine.Result, broken []error) {
	var reader routine.Reader
	for _, r := range records {
		if kind != "" && string(r.Kind) != kind || kind == "" && r.Kind == drift.Demo {
			continue
		}
		take := routine.Take{ID: r.ID, Start: r.Start, Person: r.Person, Speed: r.Speed, Dry: r.Dry, Events: routine.Merge(r.Events, r.Brews...)}
		result, err := reader.Result(take)
		if err = cmp.Or(r.Err, err); err != nil {
			broken = append(broken, fmt.Errorf("take %s: %w", r.ID, err))
			continue
		}
		out = append(out, result)
	}
	shorten(out)
	return out, broken
}

// leastShort is how many characters of a take's id are shown at least.
const leastShort = 8

// shorten fills in as much of each id as tells it apart from its neighbours.
func shorten(all []routine.Result) {
	ids := make([]string, len(all))
	for i, r := range all {
		ids[i] = r.ID
	}
	slices.Sort(ids)
	for i := range all {
		n, _ := slices.BinarySearch(ids, all[i].ID)
		size := leastShort
		for _, beside := range []int{n - 1, n + 1} {
			if beside >= 0 && beside < len(ids) {
				for size < len(all[i].ID) && strings.HasPrefix(ids[beside], all[i].ID[:size]) {
					size++
				}
			}
		}
		all[i].Short = all[i].ID[:min(size, len(all[i].ID))]
	}
}

// choose takes the pool of the latest whole take that fits, and counts what is
// left out.
func (t *taken) choose(f *takesFlags) {
	fits := func(r routine.Result) bool {
		return r.Dry == f.dry && r.Partial == f.part && r.Ending == routine.Finished && r.Speed == 1 && strings.HasPrefix(r.Plan.Version, f.version)
	}
	for _, r := range t.all {
		if fits(r) {
			t.pool = routine.PoolOf(r)
		}
	}
	t.takes = t.pool.In(t.all)
	for _, r := range t.all {
		switch {
		case r.Dry != f.dry:
			t.wet++
		case r.Partial != f.part:
			t.partial++
		case r.Ending == routine.Stopped:
			t.stopped++
		case r.Ending != routine.Finished:
			t.cut++
		case r.Speed != 1:
			t.slow++
		case routine.PoolOf(r) != t.pool:
			t.older++
		}
	}
}

// rest says what is left out.
func (t taken) rest() string {
	var parts []string
	add := func(n int, what string) {
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, what))
		}
	}
	water := "without water"
	if t.pool.Dry {
		water = "with water"
	}
	part := "in part"
	if t.pool.From > 0 || len(t.takes) > 0 && t.takes[0].Partial {
		part = "whole"
	}
	add(t.wet, water)
	add(t.partial, part)
	add(t.stopped, "stopped")
	add(t.cut, "cut off")
	add(t.slow, "at another speed")
	add(t.older, "of another version")
	add(len(t.broken), "that cannot be read")
	if len(parts) == 0 {
		return ""
	}
	return "; left out: " + strings.Join(parts, ", ")
}

// named returns the take that is meant by its number in the list, by how its
// id begins, or as last.
func (t taken) named(name string) (routine.Result, error) {
	if n, err := strconv.Atoi(name); err == nil && len(name) <= 4 {
		if n < 1 || n > len(t.takes) {
			return routine.Result{}, &inputError{fmt.Sprintf("no take %d: there are %d", n, len(t.takes)), "barline takes lists them"}
		}
		return t.takes[n-1], nil
	}
	if name == "last" && len(t.takes) > 0 {
		return t.takes[len(t.takes)-1], nil
	}
	var found []routine.Result
	for _, r := range t.all {
		if strings.HasPrefix(r.ID, strings.ToLower(name)) {
			found = append(found, r)
		}
	}
	switch len(found) {
	case 0:
		return routine.Result{}, &inputError{"no take " + strconv.Quote(name), "name it by its number in the list, or by how its id begins"}
	case 1:
		return found[0], nil
	}
	return routine.Result{}, &inputError{fmt.Sprintf("%d takes have an id that begins with %s", len(found), name), "give more of it"}
}

// compareTakes sets two takes beside each other.
func (a *app) compareTakes(t taken, f *takesFlags, second string) error {
	one, err := t.named(f.compare)
	if err != nil {
		return err
	}
	two, err := t.named(second)
	if err != nil {
		return err
	}
	pairs := routine.Compare(one, two)
	switch {
	case f.json:
		return printJSON(a.stdout, compareJSON(one, two, pairs))
	case f.csv:
		return writeCompareCSV(a.stdout, pairs)
	}
	printCompare(a.stdout, one, two, pairs)
	return nil
}

// sayBroken names the takes that cannot be read.
func (t taken) sayBroken(w io.Writer) {
	for _, err := range t.broken {
		say(w, "%s", err)
	}
}
