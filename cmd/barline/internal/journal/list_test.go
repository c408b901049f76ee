package journal_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
)

// listed returns the numbers that the fixture of TestList wrote into the lots,
// newest first.
func listed(t testing.TB, j *journal.Journal, f journal.Filter, size int) (lots []string) {
	t.Helper()
	var from journal.Cursor
	for len(lots) < 1000 {
		page, err := j.List(ctx, f, from, size)
		must(t, err)
		for _, b := range page.Brews {
			lots = append(lots, b.Lot)
		}
		if len(page.Brews) > size || page.More && len(page.Brews) < size {
			t.Fatalf("a page of %d has %d brews, more %v", size, len(page.Brews), page.More)
		}
		if !page.More {
			return lots
		}
		from = page.Next
	}
	t.Fatal("the list does not end")
	return nil
}

func TestListing(t *testing.T) {
	j := fresh(t)
	p, q := press(t), cone(t)
	for n := range 12 {
		r := brewed(p, morning.Add(time.Duration(n/2)*time.Hour)) // two start at the same moment
		if n%3 == 0 {
			r = brewed(q, r.Start)
		}
		r.Lot = fmt.Sprint(n)
		r.Person = []string{"Ada", "Bo"}[n%2]
		r.Kind = drift.Kinds()[n%4]
		events := follow(r.Plan)
		if n%5 == 4 {
			events = events[:2]
		}
		record(t, j, r, events)
	}
	all := listed(t, j, journal.Filter{}, 100)
	if len(all) != 12 {
		t.Fatalf("%v", all)
	}
	for size := 1; size <= 13; size++ {
		if got := listed(t, j, journal.Filter{}, size); !slices.Equal(got, all) {
			t.Errorf("by pages of %d: %v, want %v", size, got, all)
		}
	}
	for name, c := range map[string]struct {
		filter journal.Filter
		want   string
	}{
		"a recipe, in any case": {journal.Filter{Recipe: "quayside CONE"}, "9 6 3 0"},
		"a person, in any case": {journal.Filter{Person: "bo"}, "11 9 7 5 3 1"},
		"a kind":                {journal.Filter{Kind: drift.Demo}, "11 7 3"},
		"a version":             {journal.Filter{Version: q.Version}, "9 6 3 0"},
		"an instant belongs to what begins there":  {journal.Filter{Since: morning.Add(4 * time.Hour)}, "8 9 10 11"},
		"an instant is no part of what ends there": {journal.Filter{Until: morning.Add(time.Hour)}, "0 1"},
		"in another place's time":                  {journal.Filter{Since: morning.Add(4 * time.Hour).UTC(), Until: morning.Add(5 * time.Hour).UTC()}, "8 9"},
		"finished":                                 {journal.Filter{End: journal.Finished}, "0 1 2 3 5 6 7 8 10 11"},
		"cut off":                                  {journal.Filter{End: journal.CutOff}, "4 9"},
		"running":                                  {journal.Filter{End: journal.Running}, ""},
		"several":                                  {journal.Filter{Recipe: q.Name, Person: "Ada", End: journal.Finished}, "0 6"},
		"nothing":                                  {journal.Filter{Recipe: "'"}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			for _, size := range []int{1, 3, 100} {
				got := listed(t, j, c.filter, size)
				order := slices.Clone(got)
				slices.SortFunc(order, func(a, b string) int { return slices.Index(all, a) - slices.Index(all, b) })
				if !slices.Equal(got, order) {
					t.Errorf("%v is not in the order of %v", got, all)
				}
				slices.Sort(got)
				want := strings.Fields(c.want)
				slices.Sort(want)
				if !slices.Equal(got, want) {
					t.Errorf("got %v, want %v", got, want)
				}
			}
		})
	}
	if n := slices.IndexFunc(all, func(l string) bool { return l == "10" || l == "11" }); n > 1 {
		t.Errorf("the newest is not first: %v", all)
	}
}

// The case of a letter is that of any alphabet, however often a name is spelt
// in other ways.
func TestANameIsFoundWhateverTheCaseOfItsLetters(t *testing.T) {
	j := fresh(t)
	for n, person := range []string{"Éva", "éva", "Eva", "ÉVA", "Ωmega", "", "Ada\x00b", "Ada"} {
		r := brewed(cone(t), morning.Add(time.Duration(n)*time.Hour))
		r.Lot, r.Person = fmt.Sprint(n), person
		record(t, j, r, follow(r.Plan))
	}
	for name, want := range map[string]string{"éva": "3 1 0", "ÉVA": "3 1 0", "eva": "2", "ωMEGA": "4", "ada": "7", "ADA\x00B": "6", "nobody": "", "": "7 6 5 4 3 2 1 0"} {
		if got := strings.Join(listed(t, j, journal.Filter{Person: name}, 2), " "); got != want {
			t.Errorf("%q brewed %s, want %s", name, got, want)
		}
		var out strings.Builder
		must(t, j.Export(ctx, &out, journal.Filter{Person: name}))
		if n := strings.Count(out.String(), "\n{\"brew\":"); n != len(strings.Fields(want)) {
			t.Errorf("%d brews of %q are exported, want %s", n, name, want)
		}
	}
}

func TestAShortPrefixFindsABrew(t *testing.T) {
	j := fresh(t)
	put := func(id string) {
		r := brewed(cone(t), morning)
		r.ID = id
		record(t, j, r, nil)
	}
	ids := []string{
		"0197a000-0000-7000-8000-000000000001",
		"0197a000-0000-7000-8000-000000000002",
		"0197a000-1000-7000-8000-000000000001",
		"0197b000-0000-7000-8000-000000000001",
	}
	for _, id := range ids {
		put(id)
	}
	for prefix, want := range map[string]string{
		ids[0]: ids[0], ids[1]: ids[1],
		"0197b": ids[3], "0197B000": ids[3], " 0197b000- ": ids[3],
		"0197a000-1":                           ids[2],
		"0197a000-0000-7000-8000-000000000002": ids[1],
	} {
		if b, err := j.Find(ctx, prefix); err != nil || b.ID != want {
			t.Errorf("%q finds %q, %v, want %q", prefix, b.ID, err, want)
		}
	}
	for _, prefix := range []string{"", "   ", "0198", "01979", "x", "%", "_", "'", "0197a000-0000-7000-8000-0000000000020"} {
		if b, err := j.Find(ctx, prefix); !errors.Is(err, journal.ErrNotFound) {
			t.Errorf("%q finds %q, %v", prefix, b.ID, err)
		}
	}
	var several *journal.Ambiguous
	if _, err := j.Find(ctx, "0197a000"); !errors.As(err, &several) || len(several.Candidates) != 3 || several.More {
		t.Fatalf("got %v", err)
	}
	for n, b := range several.Candidates {
		if b.ID != ids[n] {
			t.Errorf("candidate %d is %s", n, b.ID)
		}
		if found, err := j.Find(ctx, b.Short); err != nil || found.ID != b.ID || found.Short != b.Short {
			t.Errorf("its short id %q finds %q, %v", b.Short, found.ID, err)
		}
		if shorter := b.Short[:len(b.Short)-1]; len(b.Short) > 8 {
			if _, err := j.Find(ctx, shorter); !errors.As(err, &several) {
				t.Errorf("%q is not the shortest: %q does", b.Short, shorter)
			}
		}
	}
	if want := `"0197a000" begins the ids of several brews: ` + ids[0] + ", " + ids[1] + ", 0197a000-1"; func() string { _, err := j.Find(ctx, "0197a000"); return err.Error() }() != want {
		t.Errorf("it does not say %q", want)
	}
	for n := range 20 {
		put(fmt.Sprintf("0197c000-0000-7000-8000-0000000000%02d", n))
	}
	if _, err := j.Find(ctx, "0197c"); !errors.As(err, &several) || len(several.Candidates) != 10 || !several.More {
		t.Errorf("got %v", err)
	}
	page, err := j.List(ctx, journal.Filter{}, journal.Cursor{}, 100)
	must(t, err)
	for _, b := range page.Brews {
		if found, err := j.Find(ctx, b.Short); err != nil || found.ID != b.ID {
			t.Errorf("the list's short id %q finds %q, %v", b.Short, found.ID, err)
		}
	}
}

func TestAnIDSaysItsTimeAndSortsByIt(t *testing.T) {
	before := ""
	for n := range 1000 {
		at := morning.Add(time.Duration(n) * time.Millisecond)
		id := idAt(at)
		if id[:13] <= before {
			t.Fatalf("%s does not sort behind %s", id, before)
		}
		before = id[:13]
		if id[14] != '7' || !strings.ContainsRune("89ab", rune(id[19])) {
			t.Fatalf("%s is no UUIDv7", id)
		}
	}
	// RFC 9562, appendix A.6: 2022-02-22 14:22:22.00 GMT-05:00.
	at := time.Date(2022, 2, 22, 14, 22, 22, 0, time.FixedZone("", -5*60*60))
	id, err := journal.NewID(at, strings.NewReader("\x0c\xc3\x18\xc4\xdc\x0c\x0c\x07\x39\x8f"))
	if err != nil || id != "017f22e2-79b0-7cc3-98c4-dc0c0c07398f" {
		t.Errorf("got %s, %v, want the example of the RFC", id, err)
	}
	if _, err := journal.NewID(at, strings.NewReader("short")); err == nil {
		t.Error("an id was drawn from nothing")
	}
}

func TestNames(t *testing.T) {
	j := fresh(t)
	fullOf(t, j)
	recipes, persons, err := j.Names(ctx)
	if fmt.Sprint(recipes, persons, err) != "[Quayside cone Quayside press] [Ada ada] <nil>" {
		t.Errorf("got %q, %q, %v", recipes, persons, err)
	}
}
