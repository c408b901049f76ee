// Package live is the page that calls a timeline while it is brewed: first
// the things to prepare, then the cues under a running clock, then the
// debrief with its readings.
//
// The page is a value. Update is a function of the page and a message; keys
// and ticks carry the instants at which they happened, on the machine's clock
// of elapsed time, so that neither Update nor Draw asks a clock. What is
// brewed is a brew.Timeline; the page folds events into it and draws what it
// answers.
package live
