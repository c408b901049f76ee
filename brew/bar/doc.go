// Package bar plans several brews for one pair of hands, or for a few: who
// does what when, so that nothing overlaps, no step leaves its window and
// nothing is booked twice.
//
// The package is pure and counts in ticks of one second, from the service's
// zero. An interval is half-open: a tick belongs to what begins there. The
// same problem and the same number of nodes always give the same plan.
//
// The way through the package:
//
//	Kit, Read         what stands on the bar; a brew.Plan read as a Pattern
//	Problem           orders of patterns on resources of limited capacity
//	Kit.Round         the problem of a round, by the bar's own criterion
//	Search            the best plan so far, and how good it must be
//	Problem.Check     what is wrong with a plan, worked out on its own
//	Problem.Ease      the same order of work, closest to the recipes' times
//	Problem.EaseNear  the same, with nothing far from where another plan has it
//	Problem.Deal      who does what
//	Problem.After     the problem that is left in the middle of a service
//	Problem.Relief    which running brew gives way where two collide
//	Problem.Repair    the plan after a slip, without a search
//	Problem.Slacks    how long each act may wait
//	Problem.Delays    which orders wait, and what for
//	Problem.Conflict  why there is no plan
//	Windows           what wider windows would buy
//	Table             a cupping table: one recipe many times over, evenly spaced
//	Service           a service while it goes on: the fold of what happened to it
//	Day               a day of orders, simulated
//
// The problem is the resource-constrained project scheduling problem with
// minimal and maximal time lags; with all windows closed it is that of coupled
// tasks with exact delays, or the no-wait job shop (Shapiro 1980; Mascis and
// Pacciarelli 2002). It does not draw, keep a record or ask a clock.
package bar
