package main

import (
	"context"
	"errors"

	"barline/brew/routine"
	"barline/tui"
	"barline/tui/pages"
)

var _ pages.TakesSource = (*book)(nil)

// takesPage opens the page of a routine's takes.
func (a *app) takesPage(_ context.Context, name string) error {
	if why := a.screenless(); why != "" {
		return &inputError{"the page needs a terminal" + why, "barline takes ROUTINE without --page says it as lines"}
	}
	name, err := a.routineCalled(name)
	if err != nil {
		return err
	}
	book := a.book()
	_, err = a.show(book, func(*tui.Terminal) tui.Model {
		return tui.OpenTakes(tui.Options{Theme: a.look(), Now: a.now, Takes: book}, name)
	})
	return errors.Join(err, book.close())
}

// Takes returns what the takes page looks at: every take of a routine that can
// be read, oldest first, and how many cannot.
func (b *book) Takes(name string) (all []routine.Result, leftOut int, err error) {
	if missing(b.path) {
		return nil, 0, nil // looking makes no file
	}
	j, err := b.open()
	if err != nil {
		return nil, 0, err
	}
	records, err := j.Taken(context.Background(), name)
	if err != nil {
		return nil, 0, err
	}
	all, broken := resultsOf(records, "")
	return all, len(broken), nil
}
