// Package journal is the durable record of what was brewed: one SQLite file.
//
// A brew is a plan and the events that happened to it; everything else about
// it is folded from these two by package brew. Events, readings and weights
// are only ever added. What can be derived is stored as a cache at most, and
// Verify compares it with what it was derived from.
//
// The way through the package:
//
//	Open, Sound, SetAside   the file; one that is damaged is moved, never written to
//	Journal.Begin, BeginAt  a Recorder for a brew that is about to be brewed
//	Recorder                events in order, each durable when Append returns
//	Fault                   why something is not saved, told apart by result code
//	Recorder.Rescue         the whole brew as lines, when it could not be saved
//	Interrupted, TakeUp     brews that were cut off, and going on with one
//	List, Find, Load        reading
//	Drifts, Recipes         what statistics take of many brews, from a cache where they can
//	Export, Import, CSV     lines out and in again
//	Verify, Forget, Salvage what the owner of a record needs
//
// How durable: write-ahead log with synchronous=FULL, one transaction an
// event. A program killed at any moment loses nothing for which Append had
// returned. After a power cut the same holds as far as the disk tells the
// truth about what it has written.
//
// Errors that come from the file are *Fault and say in words what a person
// can do. The others are the sentinels below, *Ambiguous, *LineError, and
// plain errors where a caller can only show them.
//
// The package asks no clock for anything that it records: the caller passes
// that in. It does not judge timings (brew/drift) and does not print.
package journal

import "errors"

// What a caller may compare an error with.
var (
	// ErrNotFound says that no brew has an id that begins so.
	ErrNotFound = errors.New("no such brew in the journal")
	// ErrLive says that the brew is being brewed just now, here or in another
	// terminal.
	ErrLive = errors.New("the brew is under way")
	// ErrEnded says that a brew to be taken up has ended.
	ErrEnded = errors.New("the brew has ended")
	// ErrTooLate says that the time within which a brew can be taken up has
	// passed, or that no clock tells how long ago it was cut off.
	ErrTooLate = errors.New("the brew can no longer be taken up")
	// ErrSuperseded says that a reading to be corrected has been corrected
	// already; correct the newer one.
	ErrSuperseded = errors.New("the reading has been corrected already")
	// ErrClosed says that the recorder has been ended.
	ErrClosed = errors.New("the record of this brew is closed")
)
