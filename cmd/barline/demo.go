package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"barline/cmd/barline/internal/demo"
	"barline/cmd/barline/internal/journal"

	"github.com/spf13/cobra"
)

// demoEnds is the last day of the invented bar where none is given: it is the
// same on every day, so that the same seed gives the same file.
const demoEnds = "2026-06-28"

// newDemo returns the command that invents a bar's journal.
func newDemo(a *app) *cobra.Command {
	var seed uint64
	var ends string
	cmd := &cobra.Command{
		Use:         "demo FILE",
		Short:       "write the journal of an invented bar, to see every page before your first brew",
		Long:        "Writes a new journal in which three persons brewed four recipes for half a year.\nThe same seed and the same last day give the same file.",
		Args:        cobra.ExactArgs(1),
		Annotations: map[string]string{withoutConfig: "yes"},
		RunE: func(cmd *cobra.Command, args []string) error {
			last, err := time.Parse(time.DateOnly, ends)
			if err != nil || last.Year() < 1900 || last.Year() > 2100 {
				return &usageError{fmt.Sprintf("--ends %q is not a day such as %s", ends, demoEnds), ""}
			}
			return a.demo(cmd.Context(), args[0], demo.Bar{Seed: seed, Ends: last})
		},
	}
	cmd.Flags().Uint64Var(&seed, "seed", 1, "what chance does follows from this number")
	cmd.Flags().StringVar(&ends, "ends", demoEnds, "the last day")
	return cmd
}

// demo makes the file. Nothing of that name may be there, nor a log that another
// file left behind. It is made beside its place and put there when it is whole;
// what could not be finished is taken away again.
func (a *app) demo(ctx context.Context, path string, bar demo.Bar) error {
	part := path + ".part"
	for _, there := range []string{path, path + "-wal", path + "-shm", part, part + "-wal", part + "-shm"} {
		if !missing(there) {
			return &inputError{there + " is there already", "name a file that is not there yet"}
		}
	}
	invented, err := bar.Brew()
	if err != nil {
		return err
	}
	file, err := os.OpenFile(part, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return &inputError{path + ": " + plainError(err), "name a file in a folder that can be written"}
	}
	file.Close()
	defer func() {
		for _, left := range []string{part, part + "-wal", part + "-shm"} {
			os.Remove(left)
		}
	}()
	ctx, stop := untilSignal(ctx)
	defer stop()
	if err := fillDemo(ctx, part, invented); err != nil {
		return cmp.Or(signalled(ctx), journalError(err))
	}
	if err := os.Rename(part, path); err != nil {
		return &inputError{path + ": " + plainError(err), "name a file in a folder that can be written"}
	}
	a.tellDemo(path, bar, invented)
	return nil
}

func fillDemo(ctx context.Context, path string, invented *demo.Journal) error {
	j, err := journal.Open(path, journal.Options{})
	if err != nil {
		return err
	}
	return errors.Join(j.Add(ctx, invented.Batch()), j.Close())
}

// tellDemo says what is in the file and where to look for it.
func (a *app) tellDemo(path string, bar demo.Bar, invented *demo.Journal) {
	first, last := invented.Brews[0].Start, invented.Brews[len(invented.Brews)-1].Start
	fmt.Fprintf(a.stdout, "%s: %s of an invented bar, %s to %s, seed %d\n", path, counted(len(invented.Brews), "brew"), first.Format(time.DateOnly), last.Format(time.DateOnly), bar.Seed)
	fmt.Fprintf(a.stdout, "they count as service, so keep them in this file of their own\n\nplanted, and what shows it:\n")
	for _, f := range bar.Facts() {
		fmt.Fprintf(a.stdout, "  %s\n    barline --journal %s %s\n", f.Says, path, f.Shown)
	}
}
