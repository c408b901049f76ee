package recipes_test

import (
	"bytes"
	"io/fs"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"

	"barline/brew"
	"barline/recipes"
)

// Whatever the file: what is refused names a place within it, and what is
// accepted can be brewed and written and edited.
func FuzzParse(f *testing.F) {
	for _, folder := range []string{"bad", "unwise"} {
		for _, file := range testFiles(f, folder) {
			f.Add(read(f, file))
		}
	}
	files, _ := fs.Glob(recipes.Shipped(), "*.yaml")
	for _, file := range files {
		text, err := fs.ReadFile(recipes.Shipped(), file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Add([]byte(plain))
	f.Add([]byte(lived))
	f.Add([]byte(odd))
	f.Fuzz(func(t *testing.T, text []byte) {
		begun := time.Now()
		doc, shape := recipes.Parse("x.yaml", text)
		faults := doc.Check(brew.Bar{})
		if took := time.Since(begun); took > 5*time.Second {
			t.Fatalf("took %v", took)
		}
		if len(faults) < len(shape) {
			t.Fatalf("check lost faults: %v, had %v", faults, shape)
		}
		checkPlaces(t, text, faults)
		if faults.Err() == nil {
			checkAccepted(t, doc)
		}
		if len(shape) == 0 {
			checkEdits(t, doc)
		}
	})
}

// One slip of the pen anywhere in a file is told or harmless.
func TestOneSlipOfThePen(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text := []rune(rapid.SampledFrom([]string{plain, lived, odd}).Draw(rt, "text"))
		for range rapid.IntRange(1, 3).Draw(rt, "slips") {
			from := rapid.IntRange(0, len(text)).Draw(rt, "from")
			to := min(len(text), from+rapid.IntRange(0, 2).Draw(rt, "gone"))
			new := rapid.SliceOfN(rapid.SampledFrom([]rune(" \n\t:,-{}[]\"'#&*!|>%@?~.0gsC°x\u2028")), 0, 2).Draw(rt, "new")
			text = slices.Concat(text[:from], new, text[to:])
		}
		doc, shape := recipes.Parse("x.yaml", []byte(string(text)))
		faults := doc.Check(brew.Bar{})
		checkPlaces(rt, []byte(string(text)), faults)
		if faults.Err() == nil {
			checkAccepted(rt, doc)
		}
		if len(shape) == 0 {
			checkEdits(rt, doc)
		}
	})
}

// failer is a test or a drawn one.
type failer interface {
	Fatalf(format string, args ...any)
}

// checkPlaces checks that every fault can be shown and lies within the file.
func checkPlaces(t failer, text []byte, faults recipes.Faults) {
	lines := 1 + strings.Count(strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u0085", "\n", "\u2028", "\n", "\u2029", "\n").Replace(string(text)), "\n")
	for i, f := range faults {
		if f.Line < 1 || f.Line > lines || f.Column < 1 || f.Column > utf8.RuneCountInString(f.Source)+1 || !bytes.Contains(text, []byte(f.Source)) {
			t.Fatalf("%v is not within %d lines", f, lines)
		}
		if f.Message == "" || f.File != "x.yaml" || i > 0 && f.Line < faults[i-1].Line {
			t.Fatalf("%v after %v", f, faults[:i])
		}
		for _, jargon := range []string{"yaml", "YAML", "mapping", "sequence", "scalar", "node", "%!", "nil", "interface"} {
			if strings.Contains(f.Message, jargon) && !bytes.Contains(text, []byte(jargon)) {
				t.Fatalf("%q is not for a barista", f.Message)
			}
		}
		shown := f.Text()
		if n := strings.Count(shown, "\n"); n != 2 && n != 3 || strings.ContainsFunc(strings.ReplaceAll(shown, "\n", ""), unicode.IsControl) {
			t.Fatalf("%q cannot be shown", shown)
		}
	}
}

func checkAccepted(t failer, doc *recipes.Document) {
	r := doc.Recipe()
	p, err := brew.NewPlan(r, brew.Bar{})
	if err != nil {
		t.Fatalf("accepted, but %v", err)
	}
	var last, busy time.Duration
	for i, c := range p.Cues {
		if c.Start < last || c.Start < 0 || c.End <= c.Start {
			t.Fatalf("cue %d runs from %v to %v, after one that starts at %v", i, c.Start, c.End, last)
		}
		last = c.Start
		if c.Hands == brew.Busy {
			if c.Start < busy {
				t.Fatalf("cue %d starts at %v, before the hands are free at %v", i, c.Start, busy)
			}
			busy = c.End
		}
	}
	if got := poured(r); got != r.Water {
		t.Fatalf("%v poured, water is %v", got, r.Water)
	}
	written := recipes.Write(r)
	again, faults := recipes.Parse("x.yaml", written)
	if len(faults) > 0 {
		t.Fatalf("what was written is refused: %v\n%s", faults, written)
	}
	if got := again.Recipe(); !reflect.DeepEqual(got, r) {
		t.Fatalf("got\n%+v\nwanted\n%+v\n%s", got, r, written)
	}
	if twice := recipes.Write(again.Recipe()); !bytes.Equal(twice, written) {
		t.Fatalf("got\n%s\nwanted\n%s", twice, written)
	}
}

// poured adds the pours up by the scale, apart from the engine.
func poured(r brew.Recipe) brew.Mass {
	var sum, scale brew.Mass
	for _, s := range r.Steps {
		switch s.Action {
		case brew.Pour:
			added := s.Amount
			if s.To {
				added -= scale
			}
			sum, scale = sum+added, scale+added
		case brew.Tare, brew.Lift, brew.Flip:
			scale = 0
		}
	}
	return sum
}

// checkEdits checks that an edit does what it says wherever a value stands.
func checkEdits(t failer, doc *recipes.Document) {
	r, n := doc.Recipe(), 0
	every(doc, func(p brew.Place, value string) {
		if n++; n > 40 {
			return
		}
		after, err := doc.Set(p, value)
		if err != nil {
			t.Fatalf("%v cannot be set to %q: %v\n%s", p, value, err, doc.Text())
		}
		if !reflect.DeepEqual(after.Recipe(), r) {
			t.Fatalf("%v set to %q changed the recipe\n%s\n%s", p, value, doc.Text(), after.Text())
		}
	})
	for i := range min(len(r.Steps), 5) {
		more, err := doc.InsertStep(i, brew.Step{Action: brew.Wait, Over: time.Second})
		if err != nil {
			t.Fatalf("no step before step %d: %v\n%s", i, err, doc.Text())
		}
		less, err := more.Remove(brew.Place{Part: brew.InSteps, Index: i})
		if err != nil {
			t.Fatalf("step %d cannot be removed: %v\n%s", i, err, more.Text())
		}
		if !reflect.DeepEqual(less.Recipe(), r) {
			t.Fatalf("step %d put in and removed changed the recipe\n%s", i, less.Text())
		}
	}
}
