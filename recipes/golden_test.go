package recipes_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"barline/brew"
	"barline/recipes"
)

var update = flag.Bool("update", false, "write the golden files anew")

// testFiles returns the recipe files of a folder of testdata/recipes.
func testFiles(t testing.TB, folder string) []string {
	t.Helper()
	files, err := filepath.Glob("../testdata/recipes/" + folder + "/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no files in %s: %v", folder, err)
	}
	return files
}

func read(t testing.TB, file string) []byte {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// What check says of a broken or an unwise file is the text beside it.
func TestFaultsAreAsTheGoldenFilesSay(t *testing.T) {
	count := 0
	for folder, severity := range map[string]brew.Severity{"bad": brew.Error, "unwise": brew.Warning} {
		for _, file := range testFiles(t, folder) {
			count++
			t.Run(folder+"/"+filepath.Base(file), func(t *testing.T) {
				doc, _ := recipes.Parse(filepath.Base(file), read(t, file))
				faults := doc.Check(brew.Bar{})
				if len(faults) == 0 {
					t.Fatal("no fault at all")
				}
				worst := brew.Warning
				if faults.Err() != nil {
					worst = brew.Error
				}
				if worst != severity {
					t.Errorf("the worst fault is a %s, wanted a %s", worst, severity)
				}
				golden(t, strings.TrimSuffix(file, ".yaml")+".txt", []byte(faults.Text()))
			})
		}
	}
	if count < 45 {
		t.Errorf("only %d files", count)
	}
}

func golden(t *testing.T, file string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if want := read(t, file); !bytes.Equal(got, want) {
		t.Errorf("got\n%s\nwanted\n%s", got, want)
	}
}
