package main

import (
	"context"
	"errors"
	"slices"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
	"barline/tui"
	"barline/tui/pages"
	"barline/tui/tasted"
)

// quickAnswers are the commands that answer without a page.
const quickAnswers = "barline cup extraction, strength, dilute, water, density, rest, slurry, expect; each has --help"

// cupPage opens the page that works a cup out, from a recipe where one is
// named.
func (a *app) cupPage(args []string) error {
	if why := a.screenless(); why != "" {
		return &inputError{"the page needs a terminal" + why, "without one these answer: " + quickAnswers}
	}
	var recipe pages.Recipe
	if len(args) > 0 {
		plan, document, _, err := a.planned(args[0], "")
		if err != nil {
			return err
		}
		recipe = pages.Recipe{Name: plan.Name, Recipe: document.Recipe(), Plan: plan, Boils: a.config.boils, Cools: a.config.cools}
	}
	book := a.book()
	_, err := a.show(book, func(*tui.Terminal) tui.Model {
		return tui.OpenCup(tui.Options{Theme: a.look(), Now: a.now, Cups: book}, recipe)
	})
	return errors.Join(err, book.close())
}

// The cup page shows the latest cups that were read, as far as they are among
// the latest brews: a record of many years is not looked through for a picture.
const (
	mostCups  = 100
	mostBrews = 1000
)

// Cups returns what was read of a recipe's latest cups, the oldest of them
// first.
func (b *book) Cups(recipe string) ([]pages.CupRead, error) {
	if missing(b.path) {
		return nil, nil // looking makes no file
	}
	j, err := b.open()
	if err != nil {
		return nil, err
	}
	var out []pages.CupRead
	err = eachRead(context.Background(), j, journal.Filter{Recipe: recipe}, func(r journal.Record, read brew.Reading) bool {
		out = append(out, pages.CupRead{Plan: asPoured(r), Reading: read})
		return len(out) < mostCups
	})
	slices.Reverse(out)
	return out, err
}

// asPoured returns the plan that a cup is worked out by: with the water that was
// weighed, where that is known.
func asPoured(r journal.Record) *brew.Plan {
	lane, err := r.Fold()
	if err != nil {
		return r.Plan
	}
	return tasted.AsPoured(conditions(r.Brew).Of(lane), r.Plan)
}

// eachRead goes through the latest brews that pass the filter, the newest
// first, as long as see returns true, and shows it those that have a strength.
// One that cannot be read is passed over: journal verify tells of it.
func eachRead(ctx context.Context, j *journal.Journal, f journal.Filter, see func(journal.Record, brew.Reading) bool) error {
	var at journal.Cursor
	for looked := 0; looked < mostBrews; {
		page, err := j.List(ctx, f, at, 100)
		if err != nil {
			return err
		}
		for _, b := range page.Brews {
			r, err := j.Load(ctx, b.ID)
			if err != nil {
				continue
			}
			if read := readingOf(r); read.Strength != nil && !see(r, read) {
				return nil
			}
		}
		looked += len(page.Brews)
		if !page.More {
			return nil
		}
		at = page.Next
	}
	return nil
}
