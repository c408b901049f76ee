package recipes

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strings"

	"barline/brew"
	"barline/brew/routine"
)

//go:embed routines/*.yaml
var shippedRoutines embed.FS

// ShippedRoutines returns the routines that come with the program, *.yaml in
// its root.
func ShippedRoutines() fs.FS {
	sub, err := fs.Sub(shippedRoutines, "routines")
	if err != nil {
		panic(err) // the folder is part of the program
	}
	return sub
}

// RoutineEntry is one routine on the shelf.
type RoutineEntry struct {
	Stem     string // the file's name without .yaml
	Name     string // the routine's own name; the stem where it has none
	Shipped  bool   // with the program, rather than the user's
	Document *RoutineDocument
}

// Routines returns the routines of the user's folder, which may be nil, and
// the shipped ones: files with the key sections. A user's routine stands in
// for a shipped one of the same stem. The error is the folder's, where it
// cannot be listed; a folder that does not exist is an empty one.
func Routines(user fs.FS) ([]RoutineEntry, error) {
	own, err := routinesOf(user)
	if err != nil {
		return nil, fmt.Errorf("list the recipe folder: %w", err)
	}
	ours, err := routinesOf(ShippedRoutines())
	if err != nil {
		return nil, fmt.Errorf("list the shipped routines: %w", err)
	}
	out := own
	for _, e := range ours {
		e.Shipped = true
		if !hasStem(own, e.Stem) {
			out = append(out, e)
		}
	}
	return out, nil
}

func hasStem(entries []RoutineEntry, stem string) bool {
	for _, e := range entries {
		if e.Stem == stem {
			return true
		}
	}
	return false
}

// routinesOf reads the routines of a folder, in order of stem. What cannot be
// opened is not known to be one.
func routinesOf(folder fs.FS) (out []RoutineEntry, err error) {
	if folder == nil {
		return nil, nil
	}
	files, err := fs.ReadDir(folder, ".") // in order of name
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	} else if err != nil {
		return nil, err
	}
	for _, f := range files {
		if f.IsDir() || !isYAML(f.Name()) {
			continue
		}
		text, err := readFile(folder, f.Name())
		if err != nil || !IsRoutine(text) {
			continue
		}
		e := RoutineEntry{Stem: strings.TrimSuffix(f.Name(), path.Ext(f.Name()))}
		e.Document, _ = ParseRoutine(f.Name(), text)
		if e.Name = e.Document.routine.Name; e.Name == "" {
			e.Name = e.Stem
		}
		out = append(out, e)
	}
	return out, nil
}

// isYAML reports whether a file's name is that of a recipe or a routine.
func isYAML(name string) bool {
	ext := path.Ext(name)
	return !strings.HasPrefix(name, ".") && (ext == ".yaml" || ext == ".yml")
}

// Line returns the routine in one line without its name: "routine, 3 cups in
// 10 min". What is wrong with it is told where its recipes are known.
func (e RoutineEntry) Line() string {
	r := e.Document.routine
	cups := "1 cup"
	if n := len(r.Brews); n != 1 {
		cups = fmt.Sprintf("%d cups", n)
	}
	switch n := len(e.Document.faults.Errors()); n {
	case 0:
		return "routine, " + cups + " in " + brew.Spoken(r.Limit)
	case 1:
		return "routine, 1 error"
	default:
		return fmt.Sprintf("routine, %d errors", n)
	}
}

// FindRoutine returns the routine of that stem or, failing that, of that name,
// whatever its capitals; the user's come before the shipped ones. The error is
// a *NameError.
func FindRoutine(entries []RoutineEntry, name string) (RoutineEntry, error) {
	var labels []label
	for _, e := range entries {
		labels = append(labels, label{e.Stem, e.Name, e.Shipped})
	}
	i, err := find(labels, "routine", name)
	if err != nil {
		return RoutineEntry{}, err
	}
	return entries[i], nil
}

// FindOn returns what finds a routine's recipes on a shelf. A recipe with
// errors is found out by what it says.
func FindOn(shelf *Shelf) routine.Find {
	return func(name string) (brew.Recipe, error) {
		e, err := shelf.Find(name)
		if err != nil {
			return brew.Recipe{}, err
		}
		if e.Faults.Err() != nil {
			return brew.Recipe{}, fmt.Errorf("recipe %s has %s", quote(name), e.Line())
		}
		return e.Document.Recipe(), nil
	}
}
