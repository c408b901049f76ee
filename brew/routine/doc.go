// Package routine is a competition performance: so many cups, what is said,
// one pair of hands, one voice, a time limit. It says whether a routine can be
// performed, follows one while it is rehearsed, and tells of many takes where
// the time goes.
//
// The package is pure: the same values in give the same values out. It keeps
// no record, draws nothing and asks no clock.
//
// The way through the package:
//
//	Resolve            a Routine as written, with its recipes, and its faults
//	Solve, Search      the plan that ends soonest, by the bar's planner
//	Search.Verdict     what the planner says against the routine; Why it is impossible
//	Rooms, Gains       where the least slack is; what would have to move
//	Plan, Plan.Sheet   a routine on the clock
//	Run                one performance of a plan while it lasts: a fold of events
//	Run.At             what to show at a moment
//	Begin, Merge       how a record keeps a run, and how it is put together again
//	Reader, Of         a take of the record to its Run and its Result
//	Pool, TableOf      many takes: sections, what is lost, how alike they are
//	Compare            two takes, beat by beat
//
// # A rehearsal
//
// Whoever rehearses feeds a Run events and asks it at moments; nothing else is
// needed, and nothing that is shown is stored.
//
//	plan := search.Plan()                    // or search.Dry(nodes).Plan()
//	run := routine.NewRun(plan, plan.Whole()) // or Options{From: 2, To: 4}
//
// The routine's clock reads Run.Begins at the start: 0:00, or where the first
// section to be run begins. A moment is that plus what has passed since, times
// the speed, which is the caller's business alone. Before the start, a
// count-in shows moments below it.
//
// Events name lanes: Plan.Cups by their number, then Plan.HandsLane (what is
// prepared, served and cleared away), Plan.TalkLane and Plan.CallsLane.
//
//	the brew's key      Run.Meant(at, source) says which event a press is: the
//	                    call of time, water on a brew, or a mark in a lane,
//	                    whichever was called nearest; Apply takes it. Run.Wanted
//	                    lists all that it could be
//	the talk's key      EventMark in the talk's lane: the next line begins now.
//	                    Without Options.Manual lines go on by themselves, at
//	                    the planned pace, behind what they are tied to
//	time, at any moment EventMark in the calls' lane
//	take back           EventUndo in the lane that Run.Undoable names, in the
//	                    talk's lane, or, after the end, in the calls' lane
//	stop                EventStop in the calls' lane, with the reason as Text
//
// Before each event, and at each tick, apply what Run.Clock returns: brews
// that end by themselves. After the end apply what Run.Closing returns.
//
// Run.At answers what is said now and how far, the next line, the next cue of
// any lane, what is pending, the time left and whether the last minute has
// begun, the section, and how far the run is ahead or behind, with its word
// (Standing). Look.Changes is when the picture changes next by itself, so that
// a screen can sleep until then. Run.LanesAt gives each lane as a brew.Lane, for
// the picture; Lane.At takes a moment of the lane's own clock.
//
// # A record
//
// A take keeps its Begin, which holds the plan as performed, and its own
// events; each brew is one of the record's with its own events, in the lane of
// its cup, on the routine's clock. Run.Parted parts a run so, event by event
// in order; Merge puts them together, and Reader replays them.
package routine
