package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime/debug"

	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
	"barline/cmd/barline/internal/page"

	"github.com/spf13/cobra"
)

// newReport returns the command that writes a page for the wall or the team.
func newReport(a *app) *cobra.Command {
	f := &driftFlags{}
	path, force := "", false
	cmd := &cobra.Command{
		Use:   "report RECIPE -o FILE.html",
		Short: "write what many brews of a recipe tell as one page, for the wall or the team",
		Long: "report writes what drift tells, with pictures, as a page of HTML that needs nothing\n" +
			"beside it: no script, no network. It is light or dark as its reader is, and prints\n" +
			"on A4. A report of before is written over, any other file only with --force.",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeRecipes(),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := f.check(); err != nil {
				return err
			}
			defer debug.SetGCPercent(debug.SetGCPercent(sparing))
			return a.readJournal(func(j *journal.Journal) error {
				return a.report(cmd.Context(), j, f, args[0], target{path, force})
			})
		},
	}
	f.registerChoice(cmd)
	cmd.Flags().StringVarP(&path, "output", "o", "", "the file to write, - for standard output")
	cmd.Flags().BoolVar(&force, "force", false, "write over a file that is no report")
	cmd.MarkFlagRequired("output")
	cmd.MarkFlagFilename("output", "html")
	return cmd
}

// registerChoice adds those flags of drift that choose brews.
func (f *driftFlags) registerChoice(cmd *cobra.Command) {
	all := &cobra.Command{}
	f.register(all)
	for _, name := range []string{"by", "since", "until", "version", "last", "kind", "any"} {
		cmd.Flags().AddFlag(all.Flags().Lookup(name))
	}
}

// counted says which brews count.
func (f *driftFlags) counted() string {
	if f.any {
		return f.kind + " brews that were finished, at any speed and begun anywhere"
	}
	return f.kind + " brews that were finished, at speed 1 and from the start"
}

// report writes the page of a recipe's brews.
func (a *app) report(ctx context.Context, j *journal.Journal, f *driftFlags, name string, to target) error {
	if err := to.check(); err != nil {
		return err
	}
	m, err := a.manyOf(ctx, j, f, name)
	if err != nil {
		return err
	}
	r := page.Report{
		Recipe: m.recipe, Counted: f.counted(), Made: a.clock.Now().Wall,
		Record: m.record, Choice: m.choice, Baseline: m.baseline, LeftOut: m.leftOut,
	}
	if f.kind == string(drift.Service) && !f.any { // the brews that attempts are made of
		all, err := j.AttemptsAt(ctx, m.recipe)
		if err != nil {
			return err
		}
		r.Attempts = attemptsOf(all)
	}
	if err := to.write(a.stdout, r.HTML()); err != nil {
		return err
	}
	if to.path != "-" {
		say(a.stdout, "%s: %s of %s", to.path, counted(m.set.Len(), "brew"), m.recipe)
	}
	return nil
}

// target is where a page goes: a file, or - for standard output.
type target struct {
	path  string
	force bool // write over whatever is there
}

// check refuses to write over what is no report of ours.
func (t target) check() error {
	if t.path == "-" {
		return nil
	}
	info, err := os.Stat(t.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return &inputError{t.path + ": " + plainError(err), "name a file that can be written"}
	case !info.Mode().IsRegular():
		return &inputError{t.path + " is there already, and is no file", "name a file; -o - writes to standard output"}
	case holdsDatabase(t.path):
		return &inputError{t.path + " is a database, such as a journal is", "name another file"}
	case t.force:
		return nil
	}
	ours, err := isReport(t.path)
	switch {
	case err != nil:
		return &inputError{t.path + ": " + plainError(err), "name a file that can be read and written"}
	case !ours:
		return &inputError{t.path + " is there already, and is no report of barline", "name another file, or write over it with --force"}
	}
	return nil
}

// holdsDatabase reports whether a file begins as SQLite's do (its file format,
// section 1.3). What cannot be read is none. Where it is the journal that is
// being read, closing it here drops the reader's locks: the command ends then.
func holdsDatabase(path string) bool {
	file, err := os.Open(path)
	if err != nil {
		return false
	}
	defer file.Close()
	const magic = "SQLite format 3\x00"
	begins := make([]byte, len(magic))
	_, err = io.ReadFull(file, begins)
	return err == nil && string(begins) == magic
}

// isReport reports whether a file begins as reports do.
func isReport(path string) (bool, error) {
	file, err := os.Open(path)
	if err != nil {
		return false, err
	}
	defer file.Close()
	begins := make([]byte, len(page.Mark))
	n, err := io.ReadFull(file, begins)
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		err = nil
	}
	return bytes.Equal(begins[:n], []byte(page.Mark)), err
}

// write writes the page beside its place and puts it there when it is whole, so
// that an older one is there until then.
func (t target) write(stdout io.Writer, html []byte) error {
	if t.path == "-" {
		_, err := stdout.Write(html)
		return err
	}
	path := behindLinks(t.path)
	part := path + ".part"
	file, err := os.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	switch {
	case errors.Is(err, fs.ErrExist):
		return &inputError{part + " is there already", "a report is being written there, or one was cut short: then delete it"}
	case err != nil:
		return &inputError{part + ": " + plainError(err), "name a file in a folder that can be written"}
	}
	if was, known := os.Stat(path); known == nil { // who may read it stays so
		err = file.Chmod(was.Mode().Perm())
	}
	if err == nil {
		_, err = file.Write(html)
	}
	if err = errors.Join(err, file.Close()); err == nil {
		err = os.Rename(part, path)
	}
	if err != nil {
		os.Remove(part)
		return &inputError{t.path + ": " + plainError(err), "name a file on a disk with room for it"}
	}
	return nil
}

// behindLinks returns the file that a path leads to, whether it is there yet or
// not.
func behindLinks(path string) string {
	const most = 40 // links in a row, as many as Linux follows
	for range most {
		to, err := os.Readlink(path)
		if err != nil {
			return path
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(path), to)
		}
		path = to
	}
	return path
}
