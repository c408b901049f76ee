//go:build unix

package main

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
)

// harbour is a recipe of eight marks, each a pour's end.
func harbour(t testing.TB) *brew.Plan {
	t.Helper()
	r := brew.Recipe{Name: "Harbour eight", Method: brew.Cone, Dose: 20 * brew.Gram, Water: 320 * brew.Gram, Temperature: 94}
	for n := range 8 {
		r.Steps = append(r.Steps, brew.Step{Action: brew.Pour, Amount: 40 * brew.Gram, Anchor: brew.At, Offset: time.Duration(n) * 30 * time.Second, Over: 10 * time.Second})
	}
	p, err := brew.NewPlan(r, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// manyHarbours makes a journal of n brews of that recipe, twelve minutes apart,
// by three persons, each mark within four and a half seconds of its call. The first is
// recorded as any brew is, the others are its rows, varied by SQLite itself.
func manyHarbours(t testing.TB, path string, n int) {
	t.Helper()
	ctx := context.Background()
	j, err := journal.Open(path, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	first := time.Date(2005, 3, 1, 8, 0, 0, 0, time.UTC)
	plan := harbour(t)
	rec, err := j.Begin(journal.Record{Brew: journal.Brew{Kind: drift.Service, Person: "Ada", Start: first, Clock: journal.Clock{Kept: journal.Wall}}, Plan: plan})
	if err != nil {
		t.Fatal(err)
	}
	events := []brew.Event{{Kind: brew.EventStart, Source: brew.FromKey}}
	for _, b := range plan.Beats {
		if b.Asked {
			events = append(events, brew.Event{Kind: brew.EventMark, At: b.Due, Source: brew.FromKey})
		}
	}
	events = append(events, brew.Event{Kind: brew.EventFinish, At: events[len(events)-1].At, Source: brew.FromClock})
	for seq, e := range events {
		if err := rec.Append(seq, e); err != nil {
			t.Fatal(err)
		}
	}
	if err := rec.End(ctx); err != nil {
		t.Fatal(err)
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	db, err := sql.Open("sqlite", "file:"+filepath.ToSlash(path)+"?_pragma=synchronous(OFF)&_pragma=journal_mode(WAL)&_pragma=cache_size(-64000)")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	// Off by -4.5 to 4.5 s, the same each time, the sum of two even spreads.
	const off = "(((%[1]s * 7919 + %[2]s * 104729) * 1103515245 + 12345 & 2147483647) %% 4500 + ((%[1]s * 15485863 + %[2]s * 32452843) * 69069 + 1 & 2147483647) %% 4500 - 4500) * 1000000"
	byEvent, byBeat := fmt.Sprintf(off, "b.n", "(e.seq - (e.kind = 'finish'))"), fmt.Sprintf(off, "b.n", "((x.beat + 1) / 2)")
	byBrew := fmt.Sprintf(off, "t.n", fmt.Sprint(len(events)-2))
	for _, s := range []string{
		fmt.Sprintf(`WITH RECURSIVE many (n) AS (SELECT 2 UNION ALL SELECT n + 1 FROM many WHERE n < %d),
			times AS (SELECT n, %d + (n - 1) * 720 AS at FROM many)
			INSERT INTO brews (n, id, kind, speed, from_ns, marks, person, recipe, version, start, start_ns, start_at_ns, kept, boot, zero_ns, coffee, lot, setting, kettle, lane, ticket, plan, text, ended, end_ns, why)
			SELECT t.n, printf('%%08x-%%04x-7000-8000-%%012x', t.at * 1000 >> 16, t.at * 1000 & 65535, t.n), kind, speed, from_ns, marks,
				CASE t.n %% 3 WHEN 0 THEN 'Ada' WHEN 1 THEN 'Bo' ELSE 'Cy' END, recipe, version, strftime('%%Y-%%m-%%dT%%H:%%M:%%SZ', t.at, 'unixepoch'), t.at * 1000000000,
				start_at_ns, kept, boot, zero_ns, coffee, lot, setting, kettle, lane, ticket, plan, text, ended, end_ns + %s, why
			FROM times t, brews b WHERE b.n = 1`, n, first.Unix(), byBrew),
		`INSERT INTO events SELECT b.n, e.seq, e.kind, e.lane, e.at_ns + CASE e.kind WHEN 'start' THEN 0 ELSE ` + byEvent + ` END, e.source, e.weight_mg, e.text, e.from_ns, e.cue, e.to_ns
			FROM brews b CROSS JOIN events e WHERE e.brew = 1 AND b.n > 1`,
		`INSERT INTO beats (brew, beat, key, owner, asked, status, early_ns, late_ns, written_ns, called_ns, marked_ns, weight_mg)
			SELECT b.n, x.beat, x.key, x.owner, x.asked, x.status, x.early_ns, x.late_ns, x.written_ns, x.called_ns, x.marked_ns + ` + byBeat + `, x.weight_mg
			FROM brews b CROSS JOIN beats x WHERE x.brew = 1 AND b.n > 1`,
		"PRAGMA wal_checkpoint(TRUNCATE)",
	} {
		if _, err := db.Exec(s); err != nil {
			t.Fatalf("%s: %v", s, err)
		}
	}
}

// makeHarbours makes the journal in a process of its own: what a child's peak
// memory is counted from is that of the process which starts it.
func makeHarbours(b *testing.B, path string, n int) {
	b.Helper()
	self := exec.Command(os.Args[0], "-test.run", "^TestManyHarboursAreSound$")
	self.Env = append(os.Environ(), "BARLINE_HARBOURS="+strconv.Itoa(n), "BARLINE_HARBOURS_IN="+path)
	output(b, self)
}

// TestManyHarboursAreSound looks whether what the benchmark brews is what
// barline would have kept itself; for the benchmark it makes the file.
func TestManyHarboursAreSound(t *testing.T) {
	if n, err := strconv.Atoi(os.Getenv("BARLINE_HARBOURS")); err == nil {
		manyHarbours(t, os.Getenv("BARLINE_HARBOURS_IN"), n)
		return
	}
	path := filepath.Join(t.TempDir(), "journal.db")
	manyHarbours(t, path, 40)
	j, err := journal.Open(path, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	findings, n, err := j.Verify(context.Background())
	if err != nil || len(findings) > 0 || n != 40 {
		t.Errorf("%d brews, found %v, %v", n, findings, err)
	}
}

// BenchmarkDriftOfMany times the real binary over journals of 10³ to 10⁶ brews
// of eight marks, cold and warm, with its peak memory, and beside it the same
// table as made by the sqlite3 shell over an exported database and by R over an
// exported CSV. The figures of all three are compared. It prints how time grows
// with size: the slope of its logarithm, 1 being in proportion. 10⁵ and
// 10⁶ are for campaigns, BARLINE_CAMPAIGN=100000 for the former alone; their
// journals take 0.3 and 3 GB.
func BenchmarkDriftOfMany(b *testing.B) {
	sizes := []int{1_000, 10_000}
	if most, err := strconv.Atoi(os.Getenv("BARLINE_CAMPAIGN")); err == nil {
		for _, n := range []int{100_000, 1_000_000} {
			if most == 1 || most >= n {
				sizes = append(sizes, n)
			}
		}
	}
	program := theProgram(b)
	taken := map[string]map[int]spent{}
	for _, n := range sizes {
		dir := b.TempDir()
		path := filepath.Join(dir, "journal.db")
		makeHarbours(b, path, n)
		for _, one := range []struct {
			name string
			runs int
			args []string
		}{
			{"table, cold", 1, []string{"--csv"}},
			{"table, warm", 5, []string{"--csv"}},
			{"all, warm", 5, nil},
			{"a beat, warm", 5, []string{"--beat", "second pour, end"}},
			{"every recipe, warm", 5, nil},
		} {
			if strings.HasSuffix(one.name, "cold") {
				shell(b, path, "DELETE FROM pieces")
			}
			args := append([]string{"--journal", path, "drift", "Harbour eight"}, one.args...)
			if strings.HasPrefix(one.name, "every") {
				args = args[:3]
			}
			note(taken, one.name, n, spend(b, one.runs, exec.Command(program, args...)))
		}
		shell(b, path, "DELETE FROM pieces")
		openPages(b, path, "cold", n, taken)
		openPages(b, path, "warm", n, taken)
		ours := figuresOf(b, output(b, exec.Command(program, "--journal", path, "drift", "Harbour eight", "--csv")))
		others(b, dir, path, n, ours, taken)
		os.RemoveAll(dir)
	}
	tell := func(name string) {
		line := fmt.Sprintf("%-28s", name)
		for _, n := range sizes {
			if s, ok := taken[name][n]; ok {
				line += fmt.Sprintf("  %8.3f s %8.3f cpu %4d MB", s.wall.Seconds(), s.cpu.Seconds(), s.peak>>20)
			}
		}
		line += fmt.Sprintf("  slope %.2f", slope(taken[name], func(s spent) time.Duration { return s.wall }))
		if taken[name][sizes[0]].cpu > 0 { // of a page only the time on the clock is known
			line += fmt.Sprintf(", of processor time %.2f", slope(taken[name], func(s spent) time.Duration { return s.cpu }))
		}
		b.Log(line)
	}
	b.Logf("%-28s%s", "brews", fmt.Sprint(sizes))
	names := []string{}
	for name := range taken {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		tell(name)
	}
	b.ReportMetric(0, "ns/op")
}

// spent is what a child took: the median of its runs, and its peak memory.
type spent struct {
	wall, cpu time.Duration
	peak      int64 // bytes
}

func note(taken map[string]map[int]spent, name string, n int, s spent) {
	if taken[name] == nil {
		taken[name] = map[int]spent{}
	}
	taken[name][n] = s
}

func spend(b *testing.B, runs int, cmd *exec.Cmd) spent {
	b.Helper()
	var all []spent
	for range runs {
		c := exec.Command(cmd.Path, cmd.Args[1:]...)
		c.Env, c.Stderr = cmd.Env, os.Stderr
		began := time.Now()
		if err := c.Run(); err != nil {
			b.Fatalf("%v: %v", c.Args, err)
		}
		all = append(all, spent{time.Since(began), c.ProcessState.UserTime() + c.ProcessState.SystemTime(), peakOf(c)})
	}
	slices.SortFunc(all, func(a, b spent) int { return int(a.wall - b.wall) })
	out := all[len(all)/2]
	for _, s := range all {
		out.peak = max(out.peak, s.peak)
	}
	return out
}

// peakOf returns the peak memory of a process that has ended, in bytes.
func peakOf(c *exec.Cmd) int64 {
	peak := c.ProcessState.SysUsage().(*syscall.Rusage).Maxrss
	if runtime.GOOS != "darwin" {
		peak *= 1024
	}
	return peak
}

func output(b *testing.B, cmd *exec.Cmd) []byte {
	b.Helper()
	var told bytes.Buffer
	cmd.Stderr = &told
	out, err := cmd.Output()
	if err != nil {
		b.Fatalf("%v: %v\n%s", cmd.Args, err, &told)
	}
	return out
}

func shell(b *testing.B, path, statement string) {
	b.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.ToSlash(path))
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec(statement); err != nil {
		b.Fatal(err)
	}
}

// tabled are the figures of one beat that all three make.
type tabled map[string]float64

// tableFigures are those, by the names that they have in the CSV.
var tableFigures = []string{"marked", "median", "mean", "sd", "lower", "upper", "share"}

// figuresOf reads a CSV with a head, of which a column is the beat's key.
func figuresOf(b *testing.B, text []byte) map[string]tabled {
	b.Helper()
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil || len(rows) < 2 {
		b.Fatalf("%v in %.300s", err, text)
	}
	out := map[string]tabled{}
	for _, row := range rows[1:] {
		if what := slices.Index(rows[0], "what"); what >= 0 && row[what] != "beat" {
			continue
		}
		t := tabled{}
		for _, name := range tableFigures {
			if t[name], err = strconv.ParseFloat(row[slices.Index(rows[0], name)], 64); err != nil {
				b.Fatal(err)
			}
		}
		out[row[slices.Index(rows[0], "key")]] = t
	}
	return out
}

// alike fails where another's table is not ours, to a thousandth.
func alike(b *testing.B, who string, theirs, ours map[string]tabled) {
	b.Helper()
	if len(theirs) != len(ours) {
		b.Errorf("%s has %d beats, we have %d", who, len(theirs), len(ours))
	}
	for key, t := range ours {
		for _, name := range tableFigures {
			if math.Abs(theirs[key][name]-t[name]) > 0.0011 {
				b.Errorf("%s: %s of %s is %v, ours %v", who, name, key, theirs[key][name], t[name])
			}
		}
	}
}

// exported is what anybody can ask of the journal without barline: the drifts
// of the marked beats of its finished service brews, in seconds.
const exported = `SELECT e.key AS key, e.drift_ns / 1e9 AS drift, e.drift_ns BETWEEN -e.early_ns - 49999999 AND e.late_ns + 49999999 AS on_time
	FROM beats e JOIN brews b ON b.n = e.brew WHERE b.recipe = 'Harbour eight' AND b.kind = 'service' AND b.ended = 'finished' AND e.marked_ns IS NOT NULL`

// inSQL is the table in the words of SQL, its quartiles of type 7.
const inSQL = `WITH r AS (SELECT key, drift, on_time, row_number() OVER (PARTITION BY key ORDER BY drift) - 1 AS i, count(*) OVER (PARTITION BY key) AS n FROM marks),
	q AS (SELECT key, n, i, drift, on_time, (n - 1) * 0.25 AS a, (n - 1) * 0.5 AS m, (n - 1) * 0.75 AS z FROM r)
	SELECT key, n AS marked, sum(CASE i WHEN floor(m) THEN drift * (1 - m + floor(m)) WHEN floor(m) + 1 THEN drift * (m - floor(m)) ELSE 0 END) AS median,
	avg(drift) AS mean, sqrt((sum(drift * drift) - sum(drift) * sum(drift) / n) / (n - 1)) AS sd,
	sum(CASE i WHEN floor(a) THEN drift * (1 - a + floor(a)) WHEN floor(a) + 1 THEN drift * (a - floor(a)) ELSE 0 END) AS lower,
	sum(CASE i WHEN floor(z) THEN drift * (1 - z + floor(z)) WHEN floor(z) + 1 THEN drift * (z - floor(z)) ELSE 0 END) AS upper,
	avg(on_time) AS share FROM q GROUP BY key, n`

// inR is the same in R.
const inR = `d <- read.csv(commandArgs(TRUE)[1])
by <- split(d, d$key)
row <- function(x) { q <- quantile(x$drift, c(.25, .5, .75), names = FALSE)
  data.frame(key = x$key[1], marked = nrow(x), median = q[2], mean = mean(x$drift), sd = sd(x$drift), lower = q[1], upper = q[3], share = mean(x$on_time)) }
write.csv(do.call(rbind, lapply(by, row)), row.names = FALSE)
`

// others makes the same table by the sqlite3 shell and by R, where they are to
// be had.
func others(b *testing.B, dir, path string, n int, ours map[string]tabled, taken map[string]map[int]spent) {
	b.Helper()
	if _, err := exec.LookPath("sqlite3"); err != nil {
		b.Logf("SKIPPED, NOT MEASURED: no sqlite3 here, and without it no export for R")
		return
	}
	other, lines := filepath.Join(dir, "marks.db"), filepath.Join(dir, "marks.csv")
	out := output(b, exec.Command("sqlite3", other, "ATTACH '"+path+"' AS j; CREATE TABLE marks AS "+strings.NewReplacer("FROM beats", "FROM j.beats", "JOIN brews", "JOIN j.brews").Replace(exported)))
	if len(out) > 0 {
		b.Fatalf("exporting: %s", out)
	}
	ask := exec.Command("sqlite3", "-csv", "-header", other, inSQL)
	alike(b, "sqlite3", figuresOf(b, output(b, exec.Command(ask.Path, ask.Args[1:]...))), ours)
	note(taken, "the table by sqlite3", n, spend(b, 1, ask))
	if _, err := exec.LookPath("Rscript"); err != nil {
		b.Logf("SKIPPED, NOT MEASURED: no R here")
		return
	}
	file, err := os.Create(lines)
	if err != nil {
		b.Fatal(err)
	}
	dump := exec.Command("sqlite3", "-csv", "-header", other, "SELECT key, drift, on_time FROM marks")
	dump.Stdout = file
	if err := dump.Run(); err != nil {
		b.Fatal(err)
	}
	file.Close()
	script := filepath.Join(dir, "table.R")
	if err := os.WriteFile(script, []byte(inR), 0o644); err != nil {
		b.Fatal(err)
	}
	ask = exec.Command("Rscript", "--vanilla", script, lines)
	alike(b, "R", figuresOf(b, output(b, exec.Command(ask.Path, ask.Args[1:]...))), ours)
	note(taken, "the table by R", n, spend(b, 1, ask))
}

// slope returns how time grows with size: that of the line through their
// logarithms.
func slope(of map[int]spent, took func(spent) time.Duration) float64 {
	var n, sx, sy, sxx, sxy float64
	for size, s := range of {
		x, y := math.Log(float64(size)), math.Log(took(s).Seconds())
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	return (n*sxy - sx*sy) / (n*sxx - sx*sx)
}
