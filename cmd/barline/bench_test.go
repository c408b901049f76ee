//go:build unix

package main

import (
	"bufio"
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/clock"
	"barline/cmd/barline/internal/journal"
	"barline/tui/pages"
)

// BenchmarkKeyToSolid measures through the whole program at a terminal how
// long a key press takes until its mark is durable, as another connection to
// the file sees it, and until it stands on the screen as kept.
func BenchmarkKeyToSolid(b *testing.B) {
	program := theProgram(b)
	var durable, shown []time.Duration
	for len(shown) < b.N {
		d, s := keyToSolid(b, program)
		durable, shown = append(durable, d...), append(shown, s...)
	}
	for name, took := range map[string][]time.Duration{"durable": durable, "shown": shown} {
		slices.Sort(took)
		for share, word := range map[float64]string{0.5: "p50", 0.99: "p99", 1: "max"} {
			at := took[min(int(share*float64(len(took))), len(took)-1)]
			b.ReportMetric(float64(at)/1e6, name+"-"+word+"-ms")
		}
	}
	b.ReportMetric(float64(len(shown)), "presses")
	b.ReportMetric(0, "ns/op")
}

// keyToSolid marks the thirty pours of one brew, a second of the clock each.
func keyToSolid(b *testing.B, program string) (durable, shown []time.Duration) {
	home := b.TempDir()
	recipe, path := filepath.Join(home, "many.yaml"), filepath.Join(home, "journal.db")
	if err := os.WriteFile(recipe, []byte(marked()), 0o644); err != nil {
		b.Fatal(err)
	}
	s := seat(b, program, home, "brew", recipe, "--speed", "10", "--journal", path)
	defer s.ours.Close()
	await := func(text string, within time.Duration) bool {
		for began := time.Now(); time.Since(began) < within; time.Sleep(100 * time.Microsecond) {
			if s.says(text) {
				return true
			}
		}
		return false
	}
	if !await("water meets coffee", 5*time.Second) {
		b.Fatal("the program does not start")
	}
	s.ours.WriteString(" ")
	if !await("p01: Pour", 5*time.Second) {
		b.Fatal("the brew does not start")
	}
	time.Sleep(60 * time.Millisecond) // the start is kept
	db, err := sql.Open("sqlite", "file:"+path+"?mode=ro")
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	count := func() (n int) {
		db.QueryRow("SELECT count(*) FROM events").Scan(&n)
		return n
	}
	for n := 1; n <= 28; n++ {
		if !await(fmt.Sprintf("p%02d: Pour", n), 3*time.Second) {
			break // a mark went to the next beat: the machine was busy
		}
		time.Sleep(time.Duration(150+rand.IntN(40)) * time.Millisecond) // near its end, at any moment of a frame
		s.mu.Lock()
		s.raw.Reset()
		s.mu.Unlock()
		before := count()
		s.ours.WriteString([]string{" ", "\r"}[n%2])
		pressed, kept := time.Now(), time.Duration(0)
		for !s.says("[x] p") {
			if kept == 0 && count() > before {
				kept = time.Since(pressed)
			}
			if time.Since(pressed) > 3*time.Second {
				b.Fatalf("the mark of pour %d does not get solid", n)
			}
			time.Sleep(50 * time.Microsecond)
		}
		shown = append(shown, time.Since(pressed))
		if kept > 0 {
			durable = append(durable, kept)
		}
	}
	s.cmd.Process.Kill()
	s.cmd.Wait()
	return durable, shown
}

// manyBrews is how many a bar has in its record after some years.
const manyBrews = 100_000

// BenchmarkRecordOfManyBrews measures what the record's page waits for where
// there are 10⁵ brews: the file opened, the list's first piece, a piece far
// down, a filtered one, and one brew.
func BenchmarkRecordOfManyBrews(b *testing.B) {
	path := filepath.Join(b.TempDir(), "journal.db")
	many(b, path)
	a := &app{env: env{stderr: io.Discard, getenv: os.Getenv, clock: clock.Machine{}}}
	a.flags.journal = path
	piece := func(b *testing.B, book *book, f pages.Filter, behind string) []pages.Brewed {
		list, _, err := book.Brews(f, behind, 100)
		if err != nil || len(list) != 100 {
			b.Fatalf("%d brews, %v", len(list), err)
		}
		return list
	}
	book := a.book()
	defer book.close()
	b.Run("look back and open", func(b *testing.B) {
		for b.Loop() {
			book := a.book()
			book.lookBack()
			book.close()
		}
	})
	b.Run("first piece", func(b *testing.B) {
		for b.Loop() {
			piece(b, book, pages.Filter{}, "")
		}
	})
	behind := ""
	for range 900 {
		list := piece(b, book, pages.Filter{}, behind)
		behind = list[99].ID
	}
	b.Run("piece 900", func(b *testing.B) {
		for b.Loop() {
			piece(b, book, pages.Filter{}, behind)
		}
	})
	b.Run("piece of a person and a recipe", func(b *testing.B) {
		for b.Loop() {
			piece(b, book, pages.Filter{Person: "person 3", Recipe: "Quayside press"}, "")
		}
	})
	b.Run("one brew", func(b *testing.B) {
		for b.Loop() {
			if _, err := book.Past(behind); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// many fills a journal with copies of one brew, two minutes apart.
func many(b *testing.B, path string) {
	ctx := context.Background()
	plan, err := brew.NewPlan(document(b, "quayside-press").Recipe(), brew.Bar{})
	if err != nil {
		b.Fatal(err)
	}
	one, err := journal.Open(path+".one", journal.Options{})
	if err != nil {
		b.Fatal(err)
	}
	r, err := one.Begin(journal.Record{Brew: journal.Brew{Kind: drift.Service, Person: "Ada", Start: eight, Clock: journal.Clock{Kept: journal.Wall}}, Plan: plan})
	if err != nil {
		b.Fatal(err)
	}
	for n, e := range []brew.Event{{Kind: brew.EventStart, Source: brew.FromKey}, {Kind: brew.EventMark, At: 8 * time.Second, Source: brew.FromKey},
		{Kind: brew.EventMark, At: 53 * time.Second, Source: brew.FromKey}, {Kind: brew.EventMark, At: 112 * time.Second, Source: brew.FromKey},
		{Kind: brew.EventMark, At: 141 * time.Second, Source: brew.FromKey}, {Kind: brew.EventFinish, At: 141 * time.Second, Source: brew.FromClock}} {
		if err := r.Append(n, e); err != nil {
			b.Fatal(err)
		}
	}
	r.End(ctx)
	var lines bytes.Buffer
	if err := one.Export(ctx, &lines, journal.Filter{}); err != nil {
		b.Fatal(err)
	}
	one.Close()
	from, to := io.Pipe()
	go func() { to.CloseWithError(copies(to, lines.String(), r.ID())) }()
	j, err := journal.Open(path, journal.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer j.Close()
	if _, err := j.Import(ctx, from); err != nil {
		b.Fatal(err)
	}
}

// copies writes the lines of one brew as those of many.
func copies(w io.Writer, lines, id string) error {
	out := bufio.NewWriter(w)
	for _, line := range strings.Split(strings.TrimSpace(lines), "\n") {
		if !strings.HasPrefix(line, `{"brew"`) {
			fmt.Fprintln(out, line)
			continue
		}
		for n := range manyBrews {
			start := eight.Add(-time.Duration(n) * 2 * time.Minute)
			other, err := journal.NewID(start, bytes.NewReader(fmt.Appendf(nil, "%010d", n)))
			if err != nil {
				return err
			}
			one := strings.Replace(line, id, other, 1)
			one = strings.Replace(one, eight.Format(time.RFC3339Nano), start.Format(time.RFC3339Nano), 1)
			one = strings.Replace(one, `"person":"Ada"`, fmt.Sprintf(`"person":"person %d"`, n%4), 1)
			fmt.Fprintln(out, one)
		}
	}
	return out.Flush()
}
