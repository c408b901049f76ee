package main

import (
	"context"
	"fmt"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
	"barline/tui/pages"
)

// brewed returns a brew as the list shows it.
func (a *app) brewed(b journal.Brew) pages.Brewed {
	return pages.Brewed{ID: b.ID, When: a.when(b.Start), Recipe: b.Recipe, Person: b.Person, Kind: string(b.Kind), End: endWords(b)}
}

// when is a day and a time of day, as the configuration wants it.
func (a *app) when(t time.Time) string { return a.timed(t, "15:04", "3:04 pm") }

// exactly is the same to the second, with the place's offset from UTC.
func (a *app) exactly(t time.Time) string { return a.timed(t, "15:04:05 -07:00", "3:04:05 pm -07:00") }

func (a *app) timed(t time.Time, of24, of12 string) string {
	if a.config.twelve {
		return t.Format(time.DateOnly + " " + of12)
	}
	return t.Format(time.DateOnly + " " + of24)
}

// Past returns a brew whole.
func (b *book) Past(id string) (pages.Past, error) {
	j, err := b.open()
	if err != nil {
		return pages.Past{}, err
	}
	r, err := j.Load(context.Background(), id)
	if err != nil {
		return pages.Past{}, err
	}
	lane, err := r.Fold()
	if err != nil {
		return pages.Past{}, err
	}
	started := "started " + b.app.exactly(r.Start) + ", " + string(r.Kind)
	if r.Person != "" {
		started += ", by " + r.Person
	}
	said := append([]string{started}, circumstances(r.Brew)...)
	return pages.Past{Brewed: b.app.brewed(r.Brew), Lane: lane, Conditions: conditions(r.Brew), Reading: readingOf(r), Said: append(said, remarks(r, lane)...)}, nil
}

// circumstances says what was brewed with, a line each.
func circumstances(b journal.Brew) []string {
	var lines []string
	for _, line := range [][2]string{{"coffee", b.Coffee}, {"lot", b.Lot}, {"setting", b.Setting}} {
		if line[1] != "" {
			lines = append(lines, line[0]+" "+line[1])
		}
	}
	if b.Kettle != nil {
		lines = append(lines, "kettle "+b.Kettle.String())
	}
	if b.Round != "" {
		lines = append(lines, "round "+b.Round+", order "+b.Order)
	}
	return lines
}

// remarks says what was read of the cup, what was read before that was
// corrected, and what was noted, a line each.
func remarks(r journal.Record, lane brew.Lane) []string {
	var lines []string
	stands := map[string]bool{}
	for _, reading := range journal.Current(r.Readings) {
		stands[reading.ID] = true
		lines = append(lines, fmt.Sprintf("%s: %s", reading.What, readingWords(reading)))
	}
	for _, reading := range r.Readings {
		if words := readingWords(reading); !stands[reading.ID] && words != "" {
			lines = append(lines, fmt.Sprintf("%s before it was corrected: %s", reading.What, words))
		}
	}
	for _, event := range r.Events {
		if event.Kind == brew.EventNote {
			lines = append(lines, "note at "+brew.Clock(lane.Elapsed(event.At))+": "+event.Text)
		}
	}
	return lines
}
