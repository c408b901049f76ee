package main

import (
	"bufio"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"text/tabwriter"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
	"barline/tui/draw"

	"github.com/spf13/cobra"
)

// filterFlags narrow a list of brews.
type filterFlags struct {
	recipe, by, kind, since, until string
}

func (f *filterFlags) register(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringVar(&f.recipe, "recipe", "", "only this recipe, by its name")
	flags.StringVar(&f.by, "by", "", "only what this person brewed")
	flags.StringVar(&f.kind, "kind", "", "only this kind: service, rehearsal, practice or demo")
	flags.StringVar(&f.since, "since", "", "only from this day on, 2026-11-30, by this machine's zone of time")
	flags.StringVar(&f.until, "until", "", "only up to this day, itself included, by the same zone")
}

// filter returns what the flags ask for. Days are those of the machine's zone
// of time, wherever the brews were.
func (f *filterFlags) filter() (journal.Filter, error) {
	out := journal.Filter{Recipe: f.recipe, Person: f.by, Kind: drift.Kind(f.kind)}
	if f.kind != "" && !knownKind(out.Kind) {
		return out, fmt.Errorf("--kind %q is none of service, rehearsal, practice, demo", f.kind)
	}
	var err error
	out.Since, out.Until, err = parseDays(f.since, f.until)
	return out, err
}

func knownKind(k drift.Kind) bool {
	for _, known := range drift.Kinds() {
		if k == known {
			return true
		}
	}
	return false
}

// parseDays returns the bounds in time of the days that --since and --until
// name, zero where they name none. The last day is one of them.
func parseDays(first, last string) (since, until time.Time, err error) {
	if since, err = parseDay("--since", first); err != nil {
		return since, until, err
	}
	if until, err = parseDay("--until", last); err != nil || until.IsZero() {
		return since, until, err
	}
	if until.Before(since) {
		return since, until, fmt.Errorf("--until %s is before --since %s, so no day is meant", last, first)
	}
	return since, until.AddDate(0, 0, 1), nil
}

func parseDay(flag, text string) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	day, err := time.ParseInLocation(time.DateOnly, text, time.Local)
	if err != nil {
		return day, fmt.Errorf("%s %q is not a day such as 2026-11-30", flag, text)
	}
	if y := day.Year(); y < 1700 || y > 2200 {
		return day, fmt.Errorf("%s %q is outside of the years 1700 to 2200", flag, text) // which is what the record can hold
	}
	return day, nil
}

// newJournal returns the command that lists the record, with those below it.
func newJournal(a *app) *cobra.Command {
	filter, limit := &filterFlags{}, 0
	cmd := &cobra.Command{
		Use:   "journal",
		Short: "list what was brewed, the newest first",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			f, err := filter.filter()
			if err != nil {
				return err
			}
			if limit < 1 {
				return fmt.Errorf("--last %d shows nothing, wanted 1 or more", limit)
			}
			return a.readJournal(func(j *journal.Journal) error { return a.listBrews(cmd.Context(), j, f, limit) })
		},
	}
	filter.register(cmd)
	cmd.Flags().IntVar(&limit, "last", 50, "at most this many")
	cmd.AddCommand(newShow(a), newRounds(a), newExport(a), newImport(a), newVerify(a), newForget(a), newWhere(a))
	return cmd
}

// listBrews writes a line a brew.
func (a *app) listBrews(ctx context.Context, j *journal.Journal, f journal.Filter, limit int) error {
	page, err := j.List(ctx, f, journal.Cursor{}, limit)
	if err != nil {
		return err
	}
	t := tabwriter.NewWriter(a.stdout, 0, 0, 2, ' ', 0)
	for _, b := range page.Brews {
		io.WriteString(t, cells(b.Short, a.when(b.Start), b.Recipe, b.Person, string(b.Kind), endWords(b)))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	if page.More {
		fmt.Fprintf(a.stdout, "and older ones; --last N shows more\n")
	}
	return nil
}

// endWords says how a brew ended.
func endWords(b journal.Brew) string {
	switch b.End {
	case journal.Finished, journal.Stopped:
		text := string(b.End) + " at " + brew.Clock(b.EndAt)
		if b.Why != "" {
			text += ": " + b.Why
		}
		return text
	}
	return string(b.End)
}

func newShow(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "show ID",
		Short: "show a brew's debrief again, by the plan it was brewed to, or a round",
		Args:  cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.brewOf(args[0], func(j *journal.Journal) error {
				record, err := a.loadBrew(cmd.Context(), j, args[0])
				if err != nil {
					if round, fault := j.RoundOf(cmd.Context(), args[0]); fault == nil {
						return a.showRound(round)
					}
					return err
				}
				return a.showBrew(record)
			})
		},
	}
}

// showBrew writes everything that is known of a brew.
func (a *app) showBrew(r journal.Record) error {
	lane, err := r.Fold()
	if err != nil {
		return &inputError{"brew " + r.ID + ": " + err.Error(), a.typed("journal", "verify") + " says what else is wrong"}
	}
	w := a.stdout
	say(w, "brew %s", r.ID)
	say(w, "started %s, %s, %s", a.exactly(r.Start), r.Kind, endWords(r.Brew))
	if r.Person != "" {
		say(w, "by %s", r.Person)
	}
	for _, line := range circumstances(r.Brew) {
		say(w, "%s", line)
	}
	say(w, "version %s", r.Version)
	say(w, "clock kept by %s", r.Clock.Kept)
	say(w, "")
	d := conditions(r.Brew).Of(lane)
	if err := printDebrief(w, d); err != nil {
		return err
	}
	printCup(w, d, lane.Plan(), readingOf(r), false)
	for _, line := range remarks(r, lane) {
		say(w, "%s", line)
	}
	return nil
}

func readingWords(r journal.Reading) string {
	units := map[journal.What]string{
		journal.BeverageWeight: " g", journal.Strength: " %", journal.Extraction: " %",
		journal.KettleTemperature: " °C", journal.CupTemperature: " °C",
	}
	if r.Value == nil {
		return r.Text
	}
	return strings.TrimSpace(fmt.Sprintf("%g%s %s", *r.Value, units[r.What], r.Text))
}

// conditions returns what a debrief must know of a brew beside its lane.
func conditions(b journal.Brew) drift.Conditions {
	return drift.Conditions{Kind: drift.Kind(b.Kind), Speed: b.Speed, CutOff: b.End == journal.CutOff}
}

func newExport(a *app) *cobra.Command {
	filter, asCSV, salvage := &filterFlags{}, false, false
	cmd := &cobra.Command{
		Use:   "export",
		Short: "write the record as JSON lines, or as CSV for a spreadsheet",
		Args:  flagsAlone,
		RunE: func(cmd *cobra.Command, _ []string) error {
			f, err := filter.filter()
			if err != nil {
				return err
			}
			if salvage && (asCSV || f != (journal.Filter{})) {
				return errors.New("--salvage goes with no other flag: it writes all that can be read, as JSON lines")
			}
			if salvage {
				return a.salvage(cmd.Context())
			}
			return a.readJournal(func(j *journal.Journal) error {
				if asCSV {
					return j.CSV(cmd.Context(), a.stdout, f)
				}
				return j.Export(cmd.Context(), a.stdout, f)
			})
		},
	}
	filter.register(cmd)
	cmd.Flags().BoolVar(&asCSV, "csv", false, "as CSV, one row a beat; text that a spreadsheet would take for a formula gets an apostrophe")
	cmd.Flags().BoolVar(&salvage, "salvage", false, "of a damaged file, what can still be read; the file is not changed")
	return cmd
}

// salvage writes what can still be read of a damaged file, and says what can
// not.
func (a *app) salvage(ctx context.Context) error {
	path, err := a.journalFile()
	if err != nil {
		return err
	}
	if missing(path) {
		return &inputError{"there is no " + path, "name the damaged file with --journal"}
	}
	brews, lost, err := journal.Salvage(ctx, path, a.stdout)
	if err != nil {
		return &inputError{err.Error(), ""}
	}
	for _, f := range lost {
		say(a.stderr, "%s", f)
	}
	fmt.Fprintf(a.stderr, "%s could be read\n", counted(brews, "brew"))
	if len(lost) > 0 {
		return errTold
	}
	return nil
}

func newImport(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "import FILE",
		Short: "take in what export or a rescue wrote, all of it or nothing",
		Args:  cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			file, err := os.Open(args[0])
			if err != nil {
				return unreadable(args[0], err)
			}
			defer file.Close()
			if err := a.examine(file, args[0]); err != nil {
				return err
			}
			return a.withJournal(func(j *journal.Journal) error {
				took, err := j.Import(cmd.Context(), bufio.NewReader(file))
				if err != nil {
					return importError(args[0], err)
				}
				fmt.Fprintf(a.stdout, "%d added, %d grown, %d known already\n", took.Added, took.Grown, took.Known)
				if took.Left > 0 {
					fmt.Fprintf(a.stdout, "%s around the rescue left out\n", counted(took.Left, "line"))
				}
				return nil
			})
		},
	}
}

// examine looks at the lines before there is a journal to take them in, so that
// what cannot be taken makes none. A pipe cannot be read twice.
func (a *app) examine(file *os.File, name string) error {
	path, err := a.journalFile()
	if err != nil || !missing(path) {
		return err
	}
	if info, err := file.Stat(); err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return nil
	}
	if err := journal.Examine(file); err != nil {
		return importError(name, err)
	}
	_, err = file.Seek(0, io.SeekStart)
	return err
}

// importError says which file is at fault.
func importError(name string, err error) error {
	var line *journal.LineError
	var unread *journal.ReadError
	switch {
	case errors.As(err, &unread):
		return unreadable(name, unread.Err)
	case errors.As(err, &line):
		return &inputError{name + ": " + line.Error(), "nothing of the file was taken; mend the line or export it anew"}
	}
	return err
}

func unreadable(name string, err error) error {
	return &inputError{name + ": " + plainError(err), "name a file that export wrote"}
}

func newVerify(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "verify",
		Short: "look at everything that the journal holds and say what is wrong",
		Args:  flagsAlone,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.readJournal(func(j *journal.Journal) error {
				findings, brews, err := j.Verify(cmd.Context())
				if err != nil {
					return err
				}
				for _, f := range findings {
					say(a.stdout, "%s", f)
				}
				if len(findings) > 0 {
					return errTold
				}
				if wrong, err := a.verifyRounds(cmd.Context(), j); err != nil || wrong > 0 {
					return cmp.Or(err, errTold)
				}
				fmt.Fprintf(a.stdout, "%s, nothing is wrong\n", counted(brews, "brew"))
				return nil
			})
		},
	}
}

// counted returns a number of things in words.
func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

func newForget(a *app) *cobra.Command {
	sure := false
	cmd := &cobra.Command{
		Use:   "forget ID",
		Short: "delete a brew for good; asks first",
		Args:  cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.brewOf(args[0], func(j *journal.Journal) error {
				if fault := j.ReadOnly(); fault != nil {
					return fault // before anybody is asked
				}
				b, err := a.findBrew(cmd.Context(), j, args[0])
				if err != nil {
					return err
				}
				if !sure && !asked(a.env, forgetting(a.when(b.Start), b)) {
					fmt.Fprintln(a.stdout, "kept")
					return nil
				}
				if err := j.Forget(cmd.Context(), b.ID); err != nil {
					return err
				}
				fmt.Fprintln(a.stdout, "deleted")
				return nil
			})
		},
	}
	cmd.Flags().BoolVar(&sure, "yes", false, "do not ask")
	return cmd
}

// forgetting is the question before a brew is deleted.
func forgetting(when string, b journal.Brew) string {
	by := ""
	if b.Person != "" {
		by = " by " + b.Person
	}
	return draw.OneLine(fmt.Sprintf("delete the brew of %s, %s%s, for good? y deletes it: ", when, b.Recipe, by))
}

// asked puts a question and reports whether the answer is yes.
func asked(e env, question string) bool {
	fmt.Fprint(e.stdout, question)
	answer, _ := bufio.NewReader(e.stdin).ReadString('\n')
	return strings.EqualFold(strings.TrimSpace(answer), "y")
}

func newWhere(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "where",
		Short: "say where the journal is kept",
		Args:  flagsAlone,
		RunE: func(*cobra.Command, []string) error {
			path, err := a.journalFile()
			if err == nil {
				fmt.Fprintln(a.stdout, path)
			}
			return err
		},
	}
}
