package cup_test

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"barline/brew/cup"
)

// rowsOf reads a table of testdata by the names of its columns; its first line
// says where it comes from and how far it was checked.
func rowsOf(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range all[1:] {
		named := map[string]string{}
		for i, head := range all[0] {
			named[head] = row[i]
		}
		out = append(out, named)
	}
	if len(out) == 0 {
		t.Fatalf("%s is empty", name)
	}
	return out
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// within fails unless got is want to within the given distance.
func within(t failer, what string, got, want, by float64) {
	t.Helper()
	if !(math.Abs(got-want) <= by) {
		t.Errorf("%s is %.12g, want %.12g ± %g", what, got, want, by)
	}
}

// failer is a test or a property.
type failer interface {
	Helper()
	Errorf(format string, args ...any)
}

// slipOf fails unless the error is a slip of the kind.
func slipOf(t failer, what string, err error, kind cup.SlipKind) *cup.Slip {
	t.Helper()
	var s *cup.Slip
	if !errors.As(err, &s) {
		t.Errorf("%s: %v, want a slip: %s", what, err, kind)
		return &cup.Slip{}
	}
	if s.Kind != kind {
		t.Errorf("%s: %q (%s), want %s", what, s.Message, s.Kind, kind)
	}
	return s
}

func must[T any](t failer) func(x T, err error) T {
	return func(x T, err error) T {
		t.Helper()
		if err != nil {
			t.Errorf("%v", err)
		}
		return x
	}
}
