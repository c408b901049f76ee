package main

import (
	"context"
	"errors"
	"runtime/debug"
	"time"

	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
	"barline/tui"
	"barline/tui/pages"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// withPage adds --page to a command that says as lines what a page shows.
func (a *app) withPage(cmd *cobra.Command, does string, show func(ctx context.Context, name string) error) *cobra.Command {
	a.checkOutput(cmd) // of the lines
	page, lines := false, cmd.RunE
	cmd.Flags().BoolVar(&page, "page", false, does)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if !page {
			return lines(cmd, args)
		}
		var other string
		own := cmd.LocalNonPersistentFlags()
		cmd.Flags().Visit(func(f *pflag.Flag) {
			if f.Name != "page" && own.Lookup(f.Name) != nil {
				other = f.Name
			}
		})
		switch {
		case other != "":
			return errors.New("--page takes no --" + other + ": what it shows is narrowed by its keys")
		case len(args) == 0:
			return a.openShelf()
		}
		return show(cmd.Context(), args[0])
	}
	return cmd
}

// driftPage opens the drift page of a recipe.
func (a *app) driftPage(ctx context.Context, name string) error {
	if why := a.screenless(); why != "" {
		return &inputError{"the page needs a terminal" + why, "barline drift RECIPE without --page says it as lines"}
	}
	err := a.readJournal(func(j *journal.Journal) (err error) {
		name, err = a.recipeInJournal(ctx, j, name)
		return err
	})
	if err != nil {
		return err
	}
	defer debug.SetGCPercent(debug.SetGCPercent(sparing))
	book := a.book()
	_, err = a.show(book, func(*tui.Terminal) tui.Model {
		return tui.OpenDrift(tui.Options{Theme: a.look(), Now: a.now, Drifts: book}, name)
	})
	return errors.Join(err, book.close())
}

// Drifts returns what the drift pages look at.
func (b *book) Drifts(f pages.Filter) (pages.Many, error) {
	if missing(b.path) {
		return pages.Many{}, nil // looking makes no file
	}
	j, err := b.open()
	if err != nil {
		return pages.Many{}, err
	}
	ctx := context.Background()
	brews, err := j.Drifts(ctx, journal.Counting{Recipe: f.Recipe, Kind: journal.Kind(f.Kind)})
	if err != nil {
		return pages.Many{}, err
	}
	many := pages.Many{Record: brews.Record, LeftOut: brews.LeftOut}
	if many.Baseline, err = frozenOf(ctx, j, f.Recipe, brews.Record); err != nil {
		return pages.Many{}, err
	}
	if f.Kind == string(drift.Service) { // attempts are made in service
		all, err := j.AttemptsAt(ctx, f.Recipe)
		if err != nil {
			return pages.Many{}, err
		}
		many.Attempts = attemptsOf(all)
	}
	if f.Days > 0 {
		y, m, d := b.app.clock.Now().Wall.Date()
		many.Since = time.Date(y, m, d-f.Days+1, 0, 0, 0, 0, time.Local)
	}
	if many.Record != nil {
		many.Cup, err = learntOf(ctx, j, many.Record.Choose(drift.Choice{Since: many.Since}))
	}
	return many, err
}
