package recipes

import (
	"cmp"
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"

	"barline/brew"
)

//go:embed shipped/*.yaml
var shipped embed.FS

// Shipped returns the files that come with the program, *.yaml in its root.
func Shipped() fs.FS {
	sub, err := fs.Sub(shipped, "shipped")
	if err != nil {
		panic(err) // the folder is part of the program
	}
	return sub
}

// Entry is one recipe on the shelf.
type Entry struct {
	Stem     string        // the file's name without .yaml
	Name     string        // the recipe's own name; the stem where it has none
	Shipped  bool          // with the program, rather than the user's
	Time     time.Duration // from 0:00 to the last cue's end; 0 where it cannot be brewed
	Document *Document
	Faults   Faults // of Check at the shelf's bar
}

// Line returns the entry in one line without its name: "press, 14 g to 210 g,
// 2:33", or how many errors keep it from being brewed.
func (e Entry) Line() string {
	switch n := len(e.Faults.Errors()); n {
	case 0:
	case 1:
		return "1 error"
	default:
		return fmt.Sprintf("%d errors", n)
	}
	r := e.Document.recipe
	line := fmt.Sprintf("%s, %s to %s", r.Method, r.Dose, r.Water)
	if b := r.BypassWater(); b > 0 {
		line += " and " + b.String()
	}
	return line + ", " + brew.Clock(e.Time)
}

// Shelf is the recipes at hand: the user's and the shipped ones, each list in
// order of stem. A user's recipe stands in for a shipped one of the same stem.
type Shelf struct{ entries []Entry }

// NewShelf reads every *.yaml and *.yml of the user's folder, which may be
// nil, and the shipped recipes. A file that does not parse stays on the shelf
// with its faults. The error is the folder's, where it cannot be listed; a
// folder that does not exist is an empty one.
func NewShelf(user fs.FS, bar brew.Bar) (*Shelf, error) {
	own, err := readFolder(user, bar)
	if err != nil {
		return nil, fmt.Errorf("list the recipe folder: %w", err)
	}
	ours, err := readFolder(Shipped(), bar)
	if err != nil {
		return nil, fmt.Errorf("list the shipped recipes: %w", err)
	}
	s := &Shelf{entries: own}
	for _, e := range ours {
		e.Shipped = true
		if !slices.ContainsFunc(own, func(o Entry) bool { return o.Stem == e.Stem }) {
			s.entries = append(s.entries, e)
		}
	}
	return s, nil
}

// readFolder reads the recipes of a folder, in order of stem.
func readFolder(folder fs.FS, bar brew.Bar) ([]Entry, error) {
	if folder == nil {
		return nil, nil
	}
	files, err := fs.ReadDir(folder, ".")
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	} else if err != nil {
		return nil, err
	}
	var out []Entry
	for _, f := range files {
		if f.IsDir() || !isYAML(f.Name()) {
			continue
		}
		e := Entry{Stem: strings.TrimSuffix(f.Name(), path.Ext(f.Name()))}
		if e.read(folder, f.Name(), bar); !IsRoutine(e.Document.src.text) {
			out = append(out, e)
		}
	}
	slices.SortStableFunc(out, func(a, b Entry) int { return cmp.Compare(a.Stem, b.Stem) })
	return out, nil
}

// read fills the entry from its file. A file that cannot be read is a fault.
func (e *Entry) read(folder fs.FS, name string, bar brew.Bar) {
	text, err := readFile(folder, name)
	e.Document, _ = Parse(name, text)
	if e.Faults = e.Document.Check(bar); err != nil {
		e.Faults = Faults{e.Document.src.fault(brew.Error, 1, 1, "check that the file can be opened", "the file cannot be read: %v", err)}
	}
	if e.Name = e.Document.recipe.Name; e.Name == "" {
		e.Name = e.Stem
	}
	if e.Faults.Err() != nil {
		return
	}
	if plan, err := brew.NewPlan(e.Document.recipe, bar); err == nil {
		e.Time = plan.End
	}
}

// readFile reads a file, but no more of it than tells that it is too large.
func readFile(folder fs.FS, name string) ([]byte, error) {
	f, err := folder.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, MaxSize+1))
}

// Entries returns the recipes, the user's first.
func (s *Shelf) Entries() []Entry { return slices.Clone(s.entries) }

// Find returns the recipe of that stem or, failing that, of that display
// name, whatever its capitals; the user's come before the shipped ones. The
// error is a *NameError.
func (s *Shelf) Find(name string) (Entry, error) {
	var labels []label
	for _, e := range s.entries {
		labels = append(labels, label{e.Stem, e.Name, e.Shipped})
	}
	i, err := find(labels, "recipe", name)
	if err != nil {
		return Entry{}, err
	}
	return s.entries[i], nil
}
