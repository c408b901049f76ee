package recipes

import (
	"bytes"
	"regexp"
	"slices"

	"gopkg.in/yaml.v3"

	"barline/brew"
	"barline/brew/routine"
)

// sectionsKey begins the key that makes a file a routine, in one that cannot be
// read as it stands.
var sectionsKey = regexp.MustCompile(`(?m)(?:^|\r)["']?sections["']?[ \t]*:`)

// IsRoutine reports whether a file is a routine rather than a recipe: whether
// it has the key sections, however it is indented.
func IsRoutine(text []byte) bool {
	if sectionsKey.Match(text) {
		return true
	}
	if !bytes.Contains(text, []byte("sections")) { // most recipes
		return false
	}
	root := readTree(newSource("", bytes.Clone(text))).root
	if root == nil || root.Kind != yaml.MappingNode {
		return false
	}
	for i := 0; i < len(root.Content); i += 2 {
		if root.Content[i].Value == "sections" {
			return true
		}
	}
	return false
}

// RoutineDocument is a routine file as it was read: its text, the routine in
// it and where each part of it stands.
type RoutineDocument struct {
	src     *source
	root    *yaml.Node // nil where there is no routine to speak of
	routine routine.Routine
	faults  Faults // of shape
	spots   map[brew.Place]spot
	broken  map[brew.Place]bool
	torn    bool
}

// ParseRoutine reads a routine file. The file's name is only used in faults.
// The faults are those of the file's shape, all at once and in line order. The
// document is never nil, so that Resolve can add what else is wrong; its
// routine is whole only where there are no faults.
func ParseRoutine(file string, text []byte) (*RoutineDocument, Faults) {
	src := newSource(file, bytes.Clone(text))
	src.what = "routine"
	t := readTree(src)
	rd := newReader(src, t)
	d := &RoutineDocument{src: src, spots: rd.spots, broken: rd.broken, torn: t.torn}
	if rd.routine(t.root, &d.routine) {
		d.root = t.root
	}
	d.faults = rd.faults
	d.faults.sort()
	return d, slices.Clone(d.faults)
}

// File returns the name given to ParseRoutine.
func (d *RoutineDocument) File() string { return d.src.file }

// Text returns the file's text as it was read.
func (d *RoutineDocument) Text() []byte { return bytes.Clone(d.src.text) }

// Routine returns the routine as far as it could be read.
func (d *RoutineDocument) Routine() routine.Routine { return d.routine }

// Resolve returns the routine with its recipes and every fault of the file, in
// line order: those of its shape, and those that routine.Resolve finds, except
// where a fault of shape makes a check meaningless.
func (d *RoutineDocument) Resolve(find routine.Find, bar brew.Bar) (routine.Resolved, Faults) {
	faults := slices.Clone(d.faults)
	if d.root == nil {
		return routine.Resolved{}, faults
	}
	resolved, found := routine.Resolve(d.routine, find, bar)
	for _, f := range found {
		if !d.meaningless(f.Place) && !d.unpaced(f) {
			faults = append(faults, d.place(f))
		}
	}
	faults.sort()
	return resolved, faults
}

// Place returns faults that were found in the routine, where they stand in the
// file, in line order.
func (d *RoutineDocument) Place(found brew.Faults) (out Faults) {
	for _, f := range found {
		out = append(out, d.place(f))
	}
	out.sort()
	return out
}

func (d *RoutineDocument) place(f brew.Fault) Fault {
	line, column := d.locate(f.Place)
	return d.src.fault(f.Severity, line, column, f.Hint, "%s", f.Message)
}

// meaningless reports whether a check of a place says nothing, because that
// place could not be read, or because something of its entry could not.
func (d *RoutineDocument) meaningless(p brew.Place) bool {
	entry := brew.Place{Part: p.Part, Index: p.Index}
	if d.broken[p] || p.Part != brew.InRecipe && d.broken[entry] {
		return true
	}
	switch {
	case p.Part == routine.InSections && p.Key == "parts", p.Part == routine.InParts:
		return d.brokenIn(p.Part, p.Index) || d.brokenIn(routine.InBrews, -1)
	case p.Part == routine.InBrews:
		return d.brokenIn(p.Part, p.Index)
	}
	return d.torn || p.Key == "sections" && d.brokenIn(routine.InParts, -1)
}

// unpaced reports whether a fault comes of a pace that could not be read.
func (d *RoutineDocument) unpaced(f brew.Fault) bool {
	return f.Severity == brew.Warning && f.Place.Key == "sections" && d.broken[brew.Place{Key: "pace"}]
}

// brokenIn reports whether anything in an entry of a list could not be read,
// in any of its entries for -1.
func (d *RoutineDocument) brokenIn(part brew.Part, index int) bool {
	for p := range d.broken {
		if p.Part == part && (index < 0 || p.Index == index) {
			return true
		}
	}
	return d.torn || d.broken[brew.Place{Key: string(part)}]
}

// locate returns where a place of the routine stands: the value of its key,
// the entry where it has no such key, else the beginning.
func (d *RoutineDocument) locate(p brew.Place) (line, column int) {
	for _, at := range []brew.Place{p, {Part: p.Part, Index: p.Index}, {}} {
		s, there := d.spots[at]
		switch {
		case !there:
			continue
		case s.key != nil && absent(s.value):
			return s.key.Line, s.key.Column
		}
		return s.value.Line, s.value.Column
	}
	return 1, 1
}
