package service

import (
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/draw"
)

// Options is what a service is called with.
type Options struct {
	Service  bar.Service // its menu, kit and persons, and all that happened so far
	Title    string
	Kind     string        // service, rehearsal, practice, demo; shown where it is not service
	Zero     time.Duration // what the machine's clock read at the service's zero
	Opened   time.Duration // the time of day at the service's zero, since midnight
	Speed    float64       // of the service's clock; 0 is taken as 1
	Ahead    time.Duration // how long before a cue it is announced
	Keys     KeyMap        // the zero one is taken as the default
	Theme    draw.Theme
	Recorder Recorder              // nil where nothing is kept
	ID       func(brew int) string // in the record, "" for none; asked by commands only; nil where nothing is kept
	Now      func() time.Duration  // elapsed time, asked by commands only
	Slept    func() string         // asked by commands only: the machine's sleep since last asked, in words; may be nil
	Bell     func(strokes int)     // rung by commands only; nil for silence
	// Menu returns the recipes as their files are now, in the menu's order, the
	// same pointers where nothing has changed. It is asked by commands, ahead of
	// each plan; nil where recipes cannot change.
	Menu func() []*brew.Plan
	// Scale returns a recipe with another dose, or what is wrong with what was
	// typed. It is asked by commands; nil where doses cannot change.
	Scale func(plan *brew.Plan, dose string) (*brew.Plan, error)
}

// Recorder keeps what happens.
type Recorder interface {
	// Append keeps event n of the service, counted from 0, and what it did to
	// which brew. It returns when that is safe, and is called from commands,
	// several at a time: whatever order the calls come in, events are kept in
	// the order of n, and when it returns nil all those before are safe too,
	// even where it had an error for them. zero is what the machine's clock
	// read at the service's zero.
	Append(n int, e bar.ServiceEvent, r bar.Result, zero time.Duration) error
}
