// Package brew is the engine: it turns a recipe into a plan of cues on a
// clock, and folds what a person does while brewing into a state that can be
// asked anything at any moment.
//
// The package is pure. It reads no clock, no file and no terminal, and the
// same input always gives the same output. A moment is a time.Duration since
// a lane's zero (the instant water meets coffee) unless a comment says that
// it counts from the timeline's zero. Cues are half-open intervals: a
// boundary belongs to the cue that begins there. Windows are closed: a beat
// on the window's edge is on time.
//
// The way through the package:
//
//	Recipe, Step    what the writer asked for, quantities in their own types
//	Check           what is wrong with it, or unwise, each with its place
//	NewPlan, Plan   cues and beats on the written clock
//	Event, Lane     one brew as a fold of events over its plan
//	Timeline        one to several lanes on one clock
//	Moment          what is on, what comes next, what the scale should read
//
// It does not parse files (package recipes), judge timings (package drift)
// or draw.
package brew
