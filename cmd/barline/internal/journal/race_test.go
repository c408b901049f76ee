//go:build race

package journal_test

// slower is how much slower the race detector makes SQLite, which it watches
// too: a campaign in every run is so much shorter.
const slower = 10
