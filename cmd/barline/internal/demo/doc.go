// Package demo invents the journal of a bar, so that every page can be seen
// before the first own brew, and so that what the pages find can be held
// against what is known to be there.
//
// The bar stands at no place. Three persons brew four of the shipped recipes
// through 26 weeks; a few facts are planted among much chance (see Facts).
// Everything follows from a seed and the last day: Bar.Brew gives the same
// journal every time. Every brew is a lane folded from events that a person
// could have made at the keys, marks that never came and keys that were
// pressed by mistake among them.
//
// How people press keys here (how late, how unevenly, how often not at all) is
// chosen to look like a bar; common practice, no source. So are the sizes of
// what is planted. The package writes no file.
package demo
