// Package rehearsal is the live page of a competition routine: what is said
// and what the hands do run side by side on one clock, and at every moment it
// shows how much time is left and how far behind the plan things are. After a
// take it tells where the time went, and the next one begins with a key.
//
// The page is a value. What goes on is a routine.Run; the page folds events
// into it and draws what it answers. Keys and ticks carry the instants at which
// they happened, so that neither Update nor Draw asks a clock.
package rehearsal
