package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// driftFlags say which brews to look at, and what to write of them.
type driftFlags struct {
	kind    string
	any     bool
	choice  choiceFlags
	against string
	beat    string
	measure string
	json    bool
	csv     bool
	latest  *pflag.Flag // --last, which says whether it was given
}

// choiceFlags are a choice as it stands on the command line.
type choiceFlags struct {
	by                    []string
	since, until, version string
	last                  int
}

func (f *driftFlags) register(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringArrayVar(&f.choice.by, "by", nil, "only what this person brewed; may be given several times")
	flags.StringVar(&f.choice.since, "since", "", "only from this day on, 2026-11-30")
	flags.StringVar(&f.choice.until, "until", "", "only up to this day, this day included")
	flags.StringVar(&f.choice.version, "version", "", "of the recipe: how it begins, or all (default the newest)")
	flags.IntVar(&f.choice.last, "last", 0, "only the latest so many")
	f.latest = flags.Lookup("last")
	flags.StringVar(&f.kind, "kind", string(drift.Service), "service, rehearsal, practice or demo")
	flags.BoolVar(&f.any, "any", false, "also at another speed than 1, and begun in the middle")
	flags.StringVar(&f.beat, "beat", "", "all that is known of this beat, 'second pour, end'")
	flags.StringVar(&f.measure, "measure", string(drift.ByDrift), "what the table is of: drift, slip or carried")
	flags.StringVar(&f.against, "against", "", "a second set of brews: by=Ada, until=2026-09-30, version=1a2b, several with commas")
	flags.BoolVar(&f.json, "json", false, "as JSON")
	flags.BoolVar(&f.csv, "csv", false, "the table as CSV, for a spreadsheet")
	cmd.RegisterFlagCompletionFunc("measure", cobra.FixedCompletions([]string{"drift", "slip", "carried"}, cobra.ShellCompDirectiveNoFileComp))
}

// check refuses flags that mean nothing, whatever the journal holds.
func (f *driftFlags) check() error {
	if !knownKind(drift.Kind(f.kind)) {
		return fmt.Errorf("--kind %q is none of service, rehearsal, practice, demo", f.kind)
	}
	if !slices.Contains([]drift.Measure{drift.ByDrift, drift.BySlip, drift.ByCarried}, f.of()) {
		return fmt.Errorf("--measure %q is none of drift, slip, carried", f.measure)
	}
	if f.latest != nil && f.latest.Changed && f.choice.last < 1 {
		return fmt.Errorf("--last %d, wanted 1 or more", f.choice.last)
	}
	if f.json && f.csv {
		return fmt.Errorf("--json and --csv: one of them")
	}
	if f.csv && (f.beat != "" || f.against != "") {
		return fmt.Errorf("--csv writes the table, which --beat and --against are not; --json has all of it")
	}
	if err := f.choice.check(); err != nil {
		return err
	}
	_, err := f.second()
	return err
}

func (f *driftFlags) of() drift.Measure { return drift.Measure(f.measure) }

// counting returns which brews of a recipe are read.
func (f *driftFlags) counting(recipe string) journal.Counting {
	return journal.Counting{Recipe: recipe, Kind: drift.Kind(f.kind), AnySpeed: f.any, AnyStart: f.any}
}

func (c choiceFlags) check() error {
	_, _, err := parseDays(c.since, c.until)
	return err
}

// choose returns the choice in a record, whose persons and versions it must
// name. Persons are known whatever the case.
func (c choiceFlags) choose(r *drift.Record) (drift.Choice, error) {
	out := drift.Choice{Last: c.last}
	var err error
	if out.Since, out.Until, err = parseDays(c.since, c.until); err != nil {
		return out, err
	}
	for _, name := range c.by {
		is := slices.IndexFunc(r.Persons(), func(p string) bool { return drift.Same(p, name) })
		if is < 0 {
			return out, &inputError{fmt.Sprintf("%q brewed none of these", name), "brewed by " + oneOf(r.Persons())}
		}
		out.Persons = append(out.Persons, r.Persons()[is])
	}
	if c.version == "all" {
		out.AllVersions = true
		return out, nil
	}
	out.Version, err = versionOf(r, c.version)
	return out, err
}

// versionOf returns the version that begins so, "" for none.
func versionOf(r *drift.Record, prefix string) (string, error) {
	if prefix == "" {
		return "", nil
	}
	var found []string
	for _, v := range r.Versions() {
		if strings.HasPrefix(v, strings.ToLower(prefix)) {
			found = append(found, v)
		}
	}
	switch len(found) {
	case 0:
		return "", &inputError{fmt.Sprintf("no version begins with %q", prefix), "brewed were " + oneOf(r.Versions())}
	case 1:
		return found[0], nil
	}
	return "", &inputError{fmt.Sprintf("%q begins several versions: %s", prefix, strings.Join(found, ", ")), "give more of it"}
}

// oneOf lists names for a hint.
func oneOf(names []string) string {
	quoted := make([]string, 0, len(names))
	for _, n := range names {
		if n == "" {
			n = "somebody without a name"
		}
		quoted = append(quoted, n)
	}
	return strings.Join(quoted, ", ")
}

// second returns the second set: the first with what --against changes of it,
// and nil where there is none.
func (f *driftFlags) second() (*choiceFlags, error) {
	if f.against == "" {
		return nil, nil
	}
	out := f.choice
	out.by = slices.Clone(f.choice.by)
	persons := false
	for part := range strings.SplitSeq(f.against, ",") {
		key, value, ok := strings.Cut(strings.TrimSpace(part), "=")
		if !ok || value == "" {
			return nil, fmt.Errorf("--against %q: %q is no key=value such as by=Ada, since=2026-10-01, until=2026-09-30, version=1a2b, last=100", f.against, part)
		}
		switch key {
		case "by":
			if !persons {
				out.by, persons = nil, true
			}
			out.by = append(out.by, value)
		case "since":
			out.since = value
		case "until":
			out.until = value
		case "version":
			out.version = value
		case "last":
			n, err := strconv.Atoi(value)
			if err != nil || n < 1 {
				return nil, fmt.Errorf("--against last=%s is no number from 1 on", value)
			}
			out.last = n
		default:
			return nil, fmt.Errorf("--against knows no %q, only by, since, until, version and last", key)
		}
	}
	if err := out.check(); err != nil {
		return nil, fmt.Errorf("--against: %w", err)
	}
	return &out, nil
}

// called says a choice in words, for a sentence, as far as it is not that of the
// other set: 'Mo', 'Mo since 2026-10-01'.
func (c choiceFlags) called(persons []string, o choiceFlags) string {
	words := []string{strings.Join(persons, " and ")}
	if len(persons) == 0 {
		words[0] = "everyone"
	}
	for _, part := range [][3]string{{"since", c.since, o.since}, {"until", c.until, o.until}, {"by version", c.version, o.version}} {
		if part[1] != "" && part[1] != part[2] {
			words = append(words, part[0]+" "+part[1])
		}
	}
	if c.last > 0 && c.last != o.last {
		words = append(words, fmt.Sprintf("in the latest %d", c.last))
	}
	return strings.Join(words, " ")
}
