package main

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
)

const root = "../.."

// arrows lists, for each part of the house, which parts it may import. A part
// covers the folders below it unless they are listed themselves.
var arrows = map[string][]string{
	"cmd":                          {"cmd", "tui", "brew", "recipes"},
	"cmd/barline/internal/clock":   {"brew"},
	"cmd/barline/internal/journal": {"brew", "brew/drift"},
	"cmd/barline/internal/page":    {"brew", "tui/draw"},
	"tui":                          {"tui", "brew"},
	"tui/draw":                     {"tui/draw", "brew"},
	"tui/ground":                   {},
	"tui/keys":                     {},
	"recipes":                      {"brew", "brew/routine"},
	"brew":                         {},
	"brew/drift":                   {"brew"},
	"brew/cup":                     {"brew"},
	"brew/bar":                     {"brew"},
	"brew/routine":                 {"brew", "brew/bar", "brew/drift/stat"},
}

// exact are the parts that are meant without what is below them when another
// part imports them.
var exact = map[string]bool{"brew": true, "brew/bar": true, "brew/drift": true}

// belowAny lists parts that may import brew and everything below it.
var belowAny = map[string]bool{"cmd": true, "tui": true, "tui/draw": true, "cmd/barline/internal/page": true}

func TestImportsFollowTheArrows(t *testing.T) {
	seen := map[string]bool{}
	eachFile(t, func(file string, f *ast.File) {
		from := partOf(path.Dir(file))
		seen[from] = true
		for _, i := range f.Imports {
			to := strings.Trim(i.Path.Value, `"`)
			inside, ours := strings.CutPrefix(to, "barline/")
			if ours && !allowed(from, inside) {
				t.Errorf("%s imports %s: no arrow leads from %s there", file, to, from)
			}
		}
	})
	for _, part := range []string{"cmd", "tui", "brew", "recipes"} {
		if !seen[part] {
			t.Errorf("no file of %s was looked at", part)
		}
	}
}

// partOf returns the innermost part that a folder belongs to.
func partOf(folder string) string {
	for folder != "." && folder != "/" {
		if _, ok := arrows[folder]; ok {
			return folder
		}
		folder = path.Dir(folder)
	}
	return ""
}

func allowed(from, to string) bool {
	if to == from || strings.HasPrefix(to, from+"/") && partOf(to) == from {
		return true
	}
	for _, part := range arrows[from] {
		switch {
		case to == part:
			return true
		case strings.HasPrefix(to, part+"/") && (!exact[part] || belowAny[from]):
			return true
		}
	}
	return false
}

// Nothing in the engine or below it may know the machine, the terminal or the
// time.
func TestTheEngineIsPure(t *testing.T) {
	forbidden := []string{"os", "net", "syscall", "log", "math/rand", "crypto/rand", "runtime", "github.com/charmbracelet"}
	clocks := map[string]bool{"Now": true, "Since": true, "Until": true, "Sleep": true, "After": true, "AfterFunc": true, "Tick": true, "NewTimer": true, "NewTicker": true}
	files := 0
	eachFile(t, func(file string, f *ast.File) {
		if !strings.HasPrefix(file, "brew/") {
			return
		}
		files++
		for _, i := range f.Imports {
			name := strings.Trim(i.Path.Value, `"`)
			for _, not := range forbidden {
				if name == not || strings.HasPrefix(name, not+"/") && not != "math/rand" {
					t.Errorf("%s imports %s", file, name)
				}
			}
			if i.Name != nil && (name == "time" || strings.HasSuffix(name, "rand/v2")) {
				t.Errorf("%s imports %s by another name, which hides what it is used for", file, name)
			}
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if s, ok := n.(*ast.SelectorExpr); ok {
				if x, ok := s.X.(*ast.Ident); ok && (x.Name == "time" && clocks[s.Sel.Name] || x.Name == "rand" && s.Sel.Name != "New" && s.Sel.Name != "NewPCG" && s.Sel.Name != "Rand") {
					t.Errorf("%s uses %s.%s", file, x.Name, s.Sel.Name)
				}
			}
			return true
		})
	})
	if files == 0 {
		t.Error("no file of the engine was looked at")
	}
}

// Only what the design names stands at the top.
func TestTheTopLevelIsTidy(t *testing.T) {
	want := map[string]bool{"cmd": true, "tui": true, "brew": true, "recipes": true, "testdata": true, "go.mod": true, "go.sum": true, "README.md": true, "DEVELOPERS.md": true}
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !want[e.Name()] && !strings.HasPrefix(e.Name(), ".") {
			t.Errorf("%s stands at the top level", e.Name())
		}
		delete(want, e.Name())
	}
	for name := range want {
		t.Errorf("%s is missing at the top level", name)
	}
}

// eachFile parses every Go file that is not a test, with its path from the
// root.
func eachFile(t *testing.T, visit func(file string, f *ast.File)) {
	t.Helper()
	fset := token.NewFileSet()
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (strings.HasPrefix(d.Name(), ".") && p != root || d.Name() == "testdata") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(p, ".go") || strings.HasSuffix(p, "_test.go") {
			return nil
		}
		text, err := os.ReadFile(p)
		if err != nil || bytes.HasPrefix(text, []byte("//go:build ignore")) {
			return err
		}
		f, err := parser.ParseFile(fset, p, text, 0)
		if err != nil {
			return err
		}
		file, err := filepath.Rel(root, p)
		visit(filepath.ToSlash(file), f)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
