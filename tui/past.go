package tui

import (
	"errors"
	"time"

	"barline/brew"
	"barline/tui/live"
	"barline/tui/pages"
)

// looked takes in what was found in the record at the start. A brew that was
// cut off is offered before anything else, unless one is under way already.
func (m Model) looked(msg lookedMsg) Model {
	m.told = msg.told
	switch {
	case msg.cut == nil:
		return m
	case m.live.Busy():
		m.told = "another brew was cut off: " + msg.cut.Words[0]
		return m
	}
	m.cut, m.before = msg.cut, m.shown
	m.cutOff = pages.NewCutOff(msg.cut.Words, pages.DefaultCutOffKeys())
	return m.show(onCutOff)
}

// review returns the debrief of a brew of the record.
func (m Model) review(past pages.Past) live.Page {
	return live.Review(live.Options{
		Plans: []*brew.Plan{past.Lane.Plan()}, Title: past.Recipe, By: past.Person, Kind: past.Kind,
		Speed: past.Conditions.Speed, CutOff: past.Conditions.CutOff, Said: past.Said,
		Keys: live.DefaultKeys(), Theme: m.opt.Theme, Now: m.opt.Now,
		Recorder: pastRecorder{m.opt.Journal, past.ID},
	}, brew.TimelineOf(past.Lane), past.Reading)
}

// pastRecorder keeps readings of a brew that is over.
type pastRecorder struct {
	journal pages.Journal
	id      string
}

// Append keeps nothing: a brew that is over has no more events.
func (r pastRecorder) Append(int, brew.Event, time.Duration) error {
	return errors.New("the brew is over")
}

// Measure keeps what was measured later.
func (r pastRecorder) Measure(reading brew.Reading) error { return r.journal.Measure(r.id, reading) }
