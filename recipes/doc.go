// Package recipes reads recipe files and routines and writes them: YAML to a
// brew.Recipe or a routine.Routine and back, with a line and a column for
// whatever is wrong. It also ships some of its own and finds them, and the
// user's, by name.
//
// README.md in this folder is the normative description of the format.
//
//	Parse         text to a Document: the recipe, and where each part of it stands
//	Document      Recipe, Check (every fault in line order), Value and Locate of a key,
//	              Set, Remove and Insert, which keep the writer's text
//	Fault         one fault with file, line, column, message and hint; Text prints it
//	Write         a brew.Recipe to canonical text, for new files
//	Shelf         the user's recipes and the shipped ones, found by name
//	ParseRoutine  the same for a routine, which IsRoutine tells from a recipe, with
//	              WriteRoutine, Routines and FindRoutine
//
// A file goes through in two lines:
//
//	doc, _ := recipes.Parse(path, text)
//	faults := doc.Check(bar) // everything, shape and sense; faults.Err() is nil if it can be brewed
//
// The package does not open files by path, read a clock or judge what a
// recipe means: what can be said of a brew.Recipe is said by brew.Check, and of
// a routine by routine.Resolve and its Search.
package recipes
