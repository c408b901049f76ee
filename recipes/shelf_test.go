package recipes_test

import (
	"errors"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"barline/brew"
	"barline/recipes"
)

func named(name string) *fstest.MapFile {
	return &fstest.MapFile{Data: []byte(strings.Replace(plain, "Quayside press", name, 1))}
}

func shelf(t *testing.T, folder fs.FS) *recipes.Shelf {
	t.Helper()
	s, err := recipes.NewShelf(folder, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestTheShelfHasTheUsersRecipesFirst(t *testing.T) {
	s := shelf(t, fstest.MapFS{
		"zest.yaml":           named("Zest"),
		"early.yml":           named("Early shift"),
		"quayside-press.yaml": named("Our own press"),
		"broken.yaml":         {Data: []byte("name: Broken\nmethod: press\ndose: 14\n")},
		"unnamed.yaml":        {Data: []byte("# nothing yet\n")},
		"notes.txt":           named("Notes"),
		".hidden.yaml":        named("Hidden"),
		"old/older.yaml":      named("Older"),
		"large.yaml":          {Data: []byte(plain + strings.Repeat("#", recipes.MaxSize))},
	})
	var got []string
	for _, e := range s.Entries() {
		if !e.Shipped {
			got = append(got, e.Stem+"|"+e.Name+"|"+e.Line())
		} else if e.Stem == "quayside-press" {
			t.Error("the shipped press stands beside the user's own")
		}
	}
	want := []string{
		"broken|Broken|5 errors", "early|Early shift|press, 14 g to 210 g, 2:08", "large|large|1 error",
		"quayside-press|Our own press|press, 14 g to 210 g, 2:08", "unnamed|unnamed|1 error", "zest|Zest|press, 14 g to 210 g, 2:08",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwanted\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if n := len(s.Entries()); n != len(want)+8 {
		t.Errorf("%d entries", n)
	}
}

func TestFindByStemOrNameWhateverTheCapitals(t *testing.T) {
	s := shelf(t, fstest.MapFS{
		"early.yaml": named("Early shift"), "late.yaml": named("Quayside cone"), "early shift.yaml": named("Another"),
		"one.yaml": named("Twice"), "two.yaml": named("twice"),
	})
	for name, want := range map[string]string{
		"early": "early", "EARLY": "early", "another": "early shift", "Early shift": "early shift", " early ": "early",
		"quayside cone": "late", "quayside-cone": "quayside-cone", "Quayside Quick cup": "quayside-quick",
	} {
		e, err := s.Find(name)
		if err != nil || e.Stem != want {
			t.Errorf("%q found %q, %v; wanted %q", name, e.Stem, err, want)
		}
	}
	for name, want := range map[string][2]string{
		"quayside-pres":  {`no recipe "quayside-pres"`, "did you mean quayside-press?"},
		"Quayside pres":  {`no recipe "Quayside pres"`, "did you mean Quayside press?"},
		"something else": {`no recipe "something else"`, ""},
		"twice":          {`2 recipes are called "twice"`, "say which: one or two"},
		"":               {`no recipe ""`, ""},
	} {
		_, err := s.Find(name)
		var miss *recipes.NameError
		if !errors.As(err, &miss) || miss.Error() != want[0] || miss.Hint != want[1] || miss.Name != name {
			t.Errorf("%q: got %+v", name, err)
		}
	}
}

type lockedFS struct{ fstest.MapFS }

func (l lockedFS) Open(name string) (fs.File, error) {
	if name == "locked.yaml" {
		return nil, fs.ErrPermission
	}
	return l.MapFS.Open(name)
}

func TestAFolderOrFileThatCannotBeReadIsTold(t *testing.T) {
	s := shelf(t, lockedFS{fstest.MapFS{"locked.yaml": named("Locked")}})
	e, err := s.Find("locked")
	if err != nil || e.Faults.Err() == nil || !strings.Contains(e.Faults.Err().Error(), "cannot be read: permission denied") {
		t.Errorf("got %v, %v", e.Faults, err)
	}
	if _, err := recipes.NewShelf(noFolder{fs.ErrPermission}, brew.Bar{}); !errors.Is(err, fs.ErrPermission) {
		t.Errorf("got %v", err)
	}
	if s := shelf(t, noFolder{fs.ErrNotExist}); len(s.Entries()) != 9 {
		t.Errorf("a folder not yet made leaves %d recipes", len(s.Entries()))
	}
}

type noFolder struct{ err error }

func (n noFolder) Open(string) (fs.File, error) { return nil, n.err }
