package journal_test

import (
	"slices"
	"testing"

	"barline/cmd/barline/internal/journal"
)

func TestThoseThatWereReadAreFound(t *testing.T) {
	j := fresh(t)
	ids := fullOf(t, j) // the first was read
	measured(t, j, ids[3], morning)
	asked := []string{ids[4], ids[3], "nobody's", ids[0], ids[1]}
	for _, c := range []struct {
		what journal.What
		want []string
	}{{journal.Strength, []string{ids[3], ids[0]}}, {journal.Score, nil}} {
		if got, err := j.WithReading(ctx, c.what, asked); err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, %v, want %v", c.what, got, err, c.want)
		}
	}
	if got, err := j.WithReading(ctx, journal.Strength, nil); err != nil || len(got) > 0 {
		t.Errorf("of none: %v, %v", got, err)
	}
}
