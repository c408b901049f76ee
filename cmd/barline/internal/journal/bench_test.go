package journal_test

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

// BenchmarkAppend measures how long a mark takes from Append to durable, the
// last of a brew, which stores how it ended and its beats besides, included.
func BenchmarkAppend(b *testing.B) {
	j := open(b, filepath.Join(b.TempDir(), "journal.db"))
	p := press(b)
	events := follow(p)
	took := make([]time.Duration, 0, b.N)
	for n := 0; b.Loop(); n++ {
		b.StopTimer()
		rec := begin(b, j, brewed(p, morning.Add(time.Duration(n)*time.Minute)))
		if err := rec.Append(0, events[0]); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		for seq := 1; seq < len(events); seq++ {
			began := time.Now()
			if err := rec.Append(seq, events[seq]); err != nil {
				b.Fatal(err)
			}
			took = append(took, time.Since(began))
		}
		b.StopTimer()
		rec.End(ctx)
		b.StartTimer()
	}
	report(b, took)
}

func report(b *testing.B, took []time.Duration) {
	slices.Sort(took)
	ms := func(share float64) float64 {
		return took[min(int(share*float64(len(took))), len(took)-1)].Seconds() * 1000
	}
	b.ReportMetric(ms(0.50), "p50-ms")
	b.ReportMetric(ms(0.99), "p99-ms")
	b.ReportMetric(ms(1), "max-ms")
}

// BenchmarkOpen measures making a journal and opening one that is there.
func BenchmarkOpen(b *testing.B) {
	b.Run("new", func(b *testing.B) {
		dir := b.TempDir()
		for n := 0; b.Loop(); n++ {
			j, err := journal.Open(filepath.Join(dir, time.Duration(n).String()), journal.Options{})
			if err != nil {
				b.Fatal(err)
			}
			j.Close()
		}
	})
	b.Run("again", func(b *testing.B) {
		path := filepath.Join(b.TempDir(), "journal.db")
		open(b, path).Close()
		for b.Loop() {
			j, err := journal.Open(path, journal.Options{})
			if err != nil {
				b.Fatal(err)
			}
			j.Close()
		}
	})
}

// many returns a journal of 10⁵ brews, two minutes apart, of two recipes and
// four persons, each with the events of follow. It is made once.
func many(b *testing.B) *journal.Journal {
	b.Helper()
	manyOnce.Do(func() {
		dir, err := os.MkdirTemp("", "barline-many-")
		must(b, err)
		manyPath = filepath.Join(dir, "journal.db")
		j := open(b, manyPath)
		from, to := io.Pipe()
		go func() { to.CloseWithError(writeMany(b, to)) }()
		began := time.Now()
		if _, err := j.Import(ctx, from); err != nil {
			b.Fatal(err)
		}
		info, err := os.Stat(manyPath + "-wal")
		must(b, err)
		b.Logf("%d brews imported in %s, %d MB", manyBrews, time.Since(began).Round(time.Second), info.Size()>>20)
		must(b, j.Close())
	})
	return open(b, manyPath)
}

const manyBrews = 100_000

var (
	manyOnce sync.Once
	manyPath string
)

// writeMany writes lines made from those of one brew of each recipe.
func writeMany(b *testing.B, w io.Writer) error {
	out := bufio.NewWriter(w)
	var brews []string
	for _, p := range []*brew.Plan{press(b), cone(b)} {
		j := fresh(b)
		record(b, j, brewed(p, morning), follow(p))
		for n, l := range strings.Split(strings.TrimSpace(string(exported(b, j))), "\n") {
			if strings.HasPrefix(l, `{"brew"`) {
				brews = append(brews, l)
			} else if n > 0 || len(brews) == 0 {
				fmt.Fprintln(out, l)
			}
		}
	}
	for n := range manyBrews {
		start := morning.Add(time.Duration(n) * 2 * time.Minute)
		l := brews[n%2]
		id := l[strings.Index(l, `"id":"`)+6:][:36]
		l = strings.Replace(l, id, idAt(start), 1)
		l = strings.Replace(l, morning.Format(time.RFC3339Nano), start.Format(time.RFC3339Nano), 1)
		l = strings.Replace(l, `"person":"Ada"`, fmt.Sprintf(`"person":"person %d"`, n%4), 1)
		fmt.Fprintln(out, l)
	}
	return out.Flush()
}

// BenchmarkManyBrews measures reading where there are 10⁵ brews.
func BenchmarkManyBrews(b *testing.B) {
	j := many(b)
	b.Run("open", func(b *testing.B) {
		for b.Loop() {
			j, err := journal.Open(manyPath, journal.Options{})
			must(b, err)
			j.Close()
		}
	})
	page := func(f journal.Filter, from journal.Cursor) journal.Page {
		p, err := j.List(ctx, f, from, 50)
		must(b, err)
		if len(p.Brews) != 50 {
			b.Fatalf("%d brews", len(p.Brews))
		}
		return p
	}
	var middle journal.Cursor
	for range 1000 {
		middle = page(journal.Filter{}, middle).Next
	}
	for name, c := range map[string]struct {
		filter journal.Filter
		from   journal.Cursor
	}{
		"first page":            {},
		"page 1000":             {from: middle},
		"page of a recipe":      {filter: journal.Filter{Recipe: "quayside cone"}},
		"page of a person":      {filter: journal.Filter{Person: "Person 3"}},
		"page of a day":         {filter: journal.Filter{Since: morning.Add(1000 * time.Hour), Until: morning.Add(1024 * time.Hour)}},
		"page of recipe person": {filter: journal.Filter{Recipe: "Quayside cone", Person: "person 1"}},
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				page(c.filter, c.from)
			}
		})
	}
	some := page(journal.Filter{}, middle).Brews[0]
	b.Run("find", func(b *testing.B) {
		for b.Loop() {
			_, err := j.Find(ctx, some.Short)
			must(b, err)
		}
	})
	b.Run("load", func(b *testing.B) {
		for b.Loop() {
			_, err := j.Load(ctx, some.ID)
			must(b, err)
		}
	})
	b.Run("cut off", func(b *testing.B) {
		for b.Loop() {
			_, err := j.Interrupted(ctx, journal.Now{Wall: morning}, 10)
			must(b, err)
		}
	})
	b.Run("export", func(b *testing.B) {
		for b.Loop() {
			must(b, j.Export(ctx, io.Discard, journal.Filter{}))
		}
	})
	b.Run("verify", func(b *testing.B) {
		for b.Loop() {
			sound(b, j)
		}
	})
}
