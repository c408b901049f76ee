package stat_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// rowsOf reads a table of the repository's testdata; its first lines say where
// it comes from.
func rowsOf(t testing.TB, name string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join("../../../testdata/drift", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment, r.FieldsPerRecord = '#', -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// column returns the numbers of a named column; an empty field is NaN.
func column(t testing.TB, table, name string) []float64 {
	t.Helper()
	rows := rowsOf(t, table)
	for i, head := range rows[0] {
		if head != name {
			continue
		}
		var out []float64
		for _, row := range rows[1:] {
			out = append(out, number(t, row[i]))
		}
		return out
	}
	t.Fatalf("%s has no column %q", table, name)
	return nil
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	if s == "" || s == "NA" {
		return math.NaN()
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// samples are the seeded ones of figures.R, and two published ones that it
// reads too, which come as pairs.
func samples(t testing.TB) (y, x map[string][]float64) {
	t.Helper()
	y, x = map[string][]float64{}, map[string][]float64{}
	for _, row := range rowsOf(t, "samples.csv") {
		for _, s := range row[1:] {
			y[row[0]] = append(y[row[0]], number(t, s))
		}
	}
	y["helsel"], x["helsel"] = column(t, "theil_sen_mk.csv", "y"), column(t, "theil_sen_mk.csv", "x")
	y["mavro"] = column(t, "nist_strd_mavro.csv", "x")
	x["mavro"] = upTo(len(y["mavro"]))
	return y, x
}

// figure is a row of figures.csv: what was worked out, of which samples, and
// the numbers behind.
type figure struct {
	of      []string
	numbers []float64
}

// figures returns the rows of a kind, with the given number of sample names.
func figures(t testing.TB, kind string, names int) []figure {
	t.Helper()
	var out []figure
	for _, row := range rowsOf(t, "figures.csv") {
		if row[0] != kind {
			continue
		}
		f := figure{of: row[1 : 1+names]}
		for _, s := range row[1+names:] {
			f.numbers = append(f.numbers, number(t, s))
		}
		out = append(out, f)
	}
	if len(out) == 0 {
		t.Fatalf("figures.csv has no %q", kind)
	}
	return out
}

func upTo(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = float64(i + 1)
	}
	return out
}

// near fails unless got is want to within the given share of it.
func near(t testing.TB, what string, got, want, share float64) {
	t.Helper()
	if got == want || math.Abs(got-want) <= share*math.Abs(want) {
		return
	}
	t.Errorf("%s is %.16g, want %.16g to %g", what, got, want, share)
}

// within fails unless got is want to within the given distance.
func within(t testing.TB, what string, got, want, by float64) {
	t.Helper()
	if !(math.Abs(got-want) <= by) {
		t.Errorf("%s is %.16g, want %.16g ± %g", what, got, want, by)
	}
}

func nan(t testing.TB, what string, xs ...float64) {
	t.Helper()
	for _, x := range xs {
		if !math.IsNaN(x) {
			t.Errorf("%s: %s, want NaN", what, fmt.Sprint(xs))
		}
	}
}
