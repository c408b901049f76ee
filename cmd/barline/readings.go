package main

import (
	"context"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

// Measure saves what was said of the cup. The record has all of it in hand
// even where the file cannot be written; the error is why it cannot.
func (k *keeper) Measure(said brew.Correction) (err error) {
	<-k.begun
	if k.fault != nil {
		return k.fault
	}
	for _, r := range journal.Corrections(k.recorder.Record().Readings, readings(said, k.clock.Now().Wall, k.record.Person)) {
		if failed := k.recorder.Reading(r); err == nil {
			err = failed
		}
	}
	return err
}

// Measure saves what was said of a brew's cup later. What it corrects is kept.
func (b *book) Measure(id string, said brew.Correction) error {
	j, err := b.open()
	if err != nil {
		return err
	}
	return j.Measure(context.Background(), id, readings(said, b.app.clock.Now().Wall, b.app.config.by))
}

// readings returns what was said as the journal keeps it. One with neither a
// value nor words takes back what stands.
func readings(said brew.Correction, at time.Time, by string) []journal.Reading {
	var out []journal.Reading
	add := func(what journal.What, value float64, text string) {
		r := journal.Reading{What: what, Text: text, Taken: at, By: by}
		if value != 0 {
			r.Value = &value
		}
		out = append(out, r)
	}
	if said.Beverage != nil {
		add(journal.BeverageWeight, said.Beverage.Grams(), "")
	}
	if said.Strength != nil {
		add(journal.Strength, float64(*said.Strength), "")
	}
	if said.Taste != nil {
		add(journal.Taste, 0, *said.Taste)
	}
	return out
}

// readingOf gathers the readings that stand.
func readingOf(r journal.Record) brew.Reading {
	var out brew.Reading
	for _, reading := range journal.Current(r.Readings) {
		switch {
		case reading.What == journal.BeverageWeight && reading.Value != nil:
			m := brew.Mass(*reading.Value*float64(brew.Gram) + 0.5)
			out.Beverage = &m
		case reading.What == journal.Strength && reading.Value != nil:
			p := brew.Percent(*reading.Value)
			out.Strength = &p
		case reading.What == journal.Taste:
			out.Taste = reading.Text
		}
	}
	return out
}
