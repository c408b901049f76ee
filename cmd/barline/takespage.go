package main

import (
	"context"

	"barline/brew/routine"
	"barline/tui/pages"
)

var _ pages.TakesSource = (*book)(nil)

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
