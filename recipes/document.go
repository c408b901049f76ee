package recipes

import (
	"bytes"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"barline/brew"
)

// Document is a recipe file as it was read: its text, the recipe in it and
// where each part of the recipe stands. It is not changed once it is read;
// an edit returns a new one.
type Document struct {
	src    *source
	root   *yaml.Node // nil where there is no recipe to speak of
	recipe brew.Recipe
	faults Faults // of shape
	spots  map[brew.Place]spot
	broken map[brew.Place]bool
	torn   bool
}

// Parse reads a recipe file. The file's name is only used in faults. The
// faults are those of the file's shape, all at once and in line order: they
// are errors, every one. The document is never nil, so that Check can add
// what else is wrong; its recipe is whole only where there are no faults.
func Parse(file string, text []byte) (*Document, Faults) {
	src := newSource(file, bytes.Clone(text))
	t := readTree(src)
	rd := newReader(src, t)
	d := &Document{src: src, spots: rd.spots, broken: rd.broken, torn: t.torn}
	if rd.recipe(t.root, &d.recipe) {
		d.root = t.root
	}
	d.faults = rd.faults
	d.faults.sort()
	return d, slices.Clone(d.faults)
}

// File returns the name given to Parse.
func (d *Document) File() string { return d.src.file }

// Text returns the file's text as it was read or edited.
func (d *Document) Text() []byte { return bytes.Clone(d.src.text) }

// Recipe returns the recipe as far as it could be read.
func (d *Document) Recipe() brew.Recipe {
	r := d.recipe
	r.Prepare, r.Steps, r.Afterwards = slices.Clone(r.Prepare), slices.Clone(r.Steps), slices.Clone(r.Afterwards)
	return r
}

// Locate returns the line and the column, both from 1, at which a place of
// the recipe stands: the value of its key, the key where it has no value, the
// entry where it has no such key. It is false where there is no such entry.
func (d *Document) Locate(p brew.Place) (line, column int, ok bool) {
	if p.Key == "over" && p.Part == brew.InSteps && d.stepAction(p.Index) == brew.Wait {
		p.Key = string(brew.Wait)
	}
	s, ok := d.spots[p]
	if !ok {
		p.Key = ""
		s, ok = d.spots[p]
	}
	switch {
	case !ok:
		return 0, 0, false
	case s.key != nil && absent(s.value):
		return s.key.Line, s.key.Column, true
	}
	return s.value.Line, s.value.Column, true
}

// Value returns the value of a key as it stands in the file, without quotes.
// It is false where the file has no such key, or the key has no value, a list
// or keys of its own.
func (d *Document) Value(p brew.Place) (string, bool) {
	s, there := d.spots[p]
	if !there || p.Key == "" || s.value.Kind != yaml.ScalarNode || absent(s.value) {
		return "", false
	}
	return strings.Join(strings.Fields(s.value.Value), " "), true
}

func (d *Document) stepAction(i int) brew.Action {
	if i < 0 || i >= len(d.recipe.Steps) {
		return ""
	}
	return d.recipe.Steps[i].Action
}

// Check returns every fault of the file, in line order: those of its shape
// that Parse found, and those that brew.Check finds in the recipe, except
// where a fault of shape makes a check meaningless.
func (d *Document) Check(bar brew.Bar) Faults {
	faults := slices.Clone(d.faults)
	if d.root == nil {
		return faults
	}
	waterSaid := false
	for _, f := range brew.Check(d.checkable(), bar) {
		if f.Place.Key == "water" && f.Place.Part == brew.InRecipe {
			if d.broken[f.Place] || d.halfKnown() && (waterSaid || d.waterInRange()) {
				continue
			}
			waterSaid = true
		} else if d.meaningless(f.Place) {
			continue
		}
		line, column, _ := d.Locate(f.Place)
		faults = append(faults, d.src.fault(f.Severity, line, column, f.Hint, "%s", f.Message))
	}
	faults.sort()
	return faults
}

// CheckAs returns what brew.Check finds in a recipe that was made from this
// one, for another dose say, at the places where the file has it.
func (d *Document) CheckAs(r brew.Recipe, bar brew.Bar) Faults {
	var faults Faults
	for _, f := range brew.Check(r, bar) {
		line, column, _ := d.Locate(f.Place)
		faults = append(faults, d.src.fault(f.Severity, line, column, f.Hint, "%s", f.Message))
	}
	faults.sort()
	return faults
}

// checkable returns the recipe without what cannot be judged because
// something it depends on could not be read.
func (d *Document) checkable() brew.Recipe {
	r := d.recipe
	if d.torn || d.broken[brew.Place{Key: "dose"}] || d.broken[brew.Place{Key: "method"}] {
		r.Capacity = 0
	}
	return r
}

// halfKnown reports whether the sum of the pours or the ratio is not known.
func (d *Document) halfKnown() bool {
	return d.broken[brew.Place{Key: "dose"}] || d.firstBroken() < len(d.recipe.Steps)+1
}

func (d *Document) waterInRange() bool {
	return brew.LeastWater <= d.recipe.Water && d.recipe.Water <= brew.MostWater
}

// meaningless reports whether a check of a place says nothing, because that
// place or a step before it could not be read.
func (d *Document) meaningless(p brew.Place) bool {
	if p.Part == brew.InSteps {
		return p.Index >= d.firstBroken()
	}
	entry := brew.Place{Part: p.Part, Index: p.Index}
	return d.broken[p] || d.broken[entry] || d.torn && p.Part == brew.InRecipe && (d.spots[p].key == nil || p.Key == "steps")
}

// firstBroken returns the first step whose time or weight could not be read;
// one more than there are steps where all could.
func (d *Document) firstBroken() int {
	first := len(d.recipe.Steps) + 1
	for p := range d.broken {
		if p.Part == brew.InSteps && !slices.Contains(softKeys, p.Key) {
			first = min(first, p.Index)
		}
	}
	if d.torn || d.broken[brew.Place{Key: "steps"}] {
		first = 0
	}
	return first
}
