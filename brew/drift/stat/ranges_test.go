package stat_test

import (
	"slices"
	"testing"

	"barline/brew/drift/stat"
)

func TestRangesAreFromOneValueToTheNext(t *testing.T) {
	for _, c := range []struct{ values, want []float64 }{
		{nil, nil},
		{[]float64{4}, nil},
		{[]float64{1, 3, -2, -2}, []float64{2, 5, 0}},
	} {
		if got := stat.Ranges(c.values); !slices.Equal(got, c.want) {
			t.Errorf("of %v: %v, want %v", c.values, got, c.want)
		}
	}
}
