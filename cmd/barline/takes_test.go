package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"io/fs"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/brew/routine"
	"barline/cmd/barline/internal/journal"
	"barline/recipes"
)

// lantern returns the plan of a shipped routine.
func lantern(t testing.TB, file string, dry bool) *routine.Plan {
	t.Helper()
	text, err := fs.ReadFile(recipes.ShippedRoutines(), file)
	if err != nil {
		t.Fatal(err)
	}
	shelf, err := recipes.NewShelf(nil, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	doc, _ := recipes.ParseRoutine(file, text)
	resolved, faults := doc.Resolve(recipes.FindOn(shelf), brew.Bar{})
	if faults.Err() != nil {
		t.Fatal(faults)
	}
	if dry {
		resolved = resolved.Dry()
	}
	return routine.Solve(resolved, routine.Usual).Plan()
}

// performed plays a plan: every brew is started and every beat marked so much
// later than it is called, and time is called so much later than it is due.
func performed(t testing.TB, p *routine.Plan, opt routine.Options, late, over time.Duration) routine.Run {
	t.Helper()
	run := routine.NewRun(p, opt)
	give := func(e brew.Event) {
		for _, c := range run.Clock(e.At) {
			run, _ = run.Apply(c)
		}
		var out brew.Outcome
		if run, out = run.Apply(e); out.Effect == brew.Refused {
			t.Fatalf("%+v: %s", e, out.Why)
		}
	}
	now := run.Begins()
	give(brew.Event{Kind: brew.EventMark, Lane: p.CallsLane(), At: now, Source: brew.FromKey})
	for {
		var next *routine.Wanted
		for _, w := range run.Wanted(now) {
			if next == nil || w.Called < next.Called {
				next = &w
			}
		}
		if next.Lane == p.CallsLane() {
			give(brew.Event{Kind: brew.EventMark, Lane: next.Lane, At: max(next.Called, now) + over, Source: brew.FromKey})
			break
		}
		now = max(next.Called+late, now)
		give(brew.Event{Kind: next.Kind, Lane: next.Lane, At: now, Source: brew.FromKey})
	}
	for _, e := range run.Closing() {
		give(e)
	}
	return run
}

var firstTake = time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)

// keepTake writes the nth take of a routine into a journal, with its brews.
func keepTake(t testing.TB, j *journal.Journal, n int, run routine.Run, dry bool) string {
	t.Helper()
	p, ctx := run.Plan(), context.Background()
	start := firstTake.Add(time.Duration(n) * 5 * time.Hour)
	random := rand.NewChaCha8([32]byte{byte(n), byte(n >> 8), 7})
	newID := func() string {
		id, err := journal.NewID(start, random)
		if err != nil {
			t.Fatal(err)
		}
		return id
	}
	own, brews := run.Parted()
	take := journal.Take{ID: newID(), Routine: p.Name, Version: p.Version, Person: "Imre", Kind: drift.Rehearsal, Speed: 1, Dry: dry,
		Section: p.Sections[run.Options().From].Name, Start: start, Text: "name: " + p.Name + "\n", Events: own}
	if err := j.SaveTake(ctx, take); err != nil {
		t.Fatal(err)
	}
	for i, events := range brews {
		if len(events) == 0 {
			continue
		}
		rec, err := j.Begin(journal.Record{
			Brew: journal.Brew{ID: newID(), Kind: drift.Rehearsal, Person: "Imre", Start: start.Add(events[0].At), StartAt: events[0].At,
				From: events[0].From, Lane: i, Clock: journal.Clock{Kept: journal.Wall}},
			Plan: p.Cups[i].Plan, TakeOf: &take,
		})
		if err != nil {
			t.Fatal(err)
		}
		for seq, e := range events {
			if err := rec.Append(seq, e); err != nil {
				t.Fatal(err)
			}
		}
		if err := rec.End(ctx); err != nil {
			t.Fatal(err)
		}
	}
	return take.ID
}

// lanternJournal is a journal of six whole takes, one in part, one without
// water and one stopped. It returns its path and the ids of the takes.
func lanternJournal(t testing.TB) (path string, ids []string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "journal.db")
	j, err := journal.Open(path, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	p := lantern(t, "lantern-three-cones.yaml", false)
	keep := func(run routine.Run, dry bool) { ids = append(ids, keepTake(t, j, len(ids), run, dry)) }
	for i := range 6 {
		late := time.Duration(6-i) * 400 * time.Millisecond
		keep(performed(t, p, p.Whole(), late, time.Duration(i)*10*time.Second), false)
	}
	keep(performed(t, p, routine.Options{From: 1, To: 3}, time.Second, 0), false)
	dry := lantern(t, "lantern-three-cones.yaml", true)
	keep(performed(t, dry, dry.Whole(), 0, 0), true)
	broken := routine.NewRun(p, p.Whole())
	broken, _ = broken.Apply(brew.Event{Kind: brew.EventMark, Lane: p.CallsLane(), Source: brew.FromKey})
	broken, _ = broken.Apply(brew.Event{Kind: brew.EventStop, Lane: p.CallsLane(), At: time.Minute, Source: brew.FromKey, Text: "the kettle was cold"})
	keep(broken, false)
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	return path, ids
}

// barline runs a command line and returns what it says and its exit code.
func barline(t testing.TB, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	e := machine()
	var out, bad bytes.Buffer
	home := t.TempDir()
	e.args, e.stdin, e.stdout, e.stderr = args, strings.NewReader(""), &out, &bad
	e.getenv = func(name string) string {
		return map[string]string{"HOME": home, "XDG_CONFIG_HOME": home, "XDG_DATA_HOME": home}[name]
	}
	code = run(context.Background(), e)
	return out.String(), bad.String(), code
}

func TestTakesAsATable(t *testing.T) {
	path, _ := lanternJournal(t)
	stdout, stderr, code := barline(t, "--journal", path, "takes", "lantern-three-cones")
	if code != 0 || stderr != "" {
		t.Fatalf("%d, %s", code, stderr)
	}
	for _, want := range []string{
		"Lantern, three cones: 6 takes, version ", "2026-03-02 to 2026-03-03; left out: 1 without water, 1 in part, 1 stopped",
		"section written latest best median of 6", "Welcome 0:49.0 0:49.0", "whole 9:16.0 10:07.2",
		"time is lost in ", "the latest 5 takes are alike to ", "6  ", "8 points", "0 points",
	} {
		if !strings.Contains(strings.Join(strings.Fields(stdout), " "), strings.Join(strings.Fields(want), " ")) {
			t.Errorf("%q is not in\n%s", want, stdout)
		}
	}
	if dry, _, code := barline(t, "--journal", path, "takes", "LANTERN, THREE CONES", "--dry"); code != 0 || !strings.Contains(dry, "1 take, without water") || !strings.Contains(dry, "left out: 8 with water") {
		t.Errorf("%d\n%s", code, dry)
	}
}

// A take that was cut off is told apart from one that was stopped.
func TestATakeThatWasCutOff(t *testing.T) {
	path, _ := lanternJournal(t)
	j, err := journal.Open(path, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	p := lantern(t, "lantern-three-cones.yaml", false)
	cut, _ := routine.NewRun(p, p.Whole()).Apply(brew.Event{Kind: brew.EventMark, Lane: p.CallsLane(), Source: brew.FromKey})
	keepTake(t, j, 20, cut, false)
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	stdout, _, _ := barline(t, "--journal", path, "takes", "lantern-three-cones")
	if !strings.Contains(stdout, "1 stopped, 1 cut off") {
		t.Error(stdout)
	}
	stdout, _, _ = barline(t, "--journal", path, "takes", "lantern-three-cones", "--json")
	var got jsonTakes
	if err := json.Unmarshal([]byte(stdout), &got); err != nil || got.LeftOut.Stopped != 1 || got.LeftOut.CutOff != 1 {
		t.Errorf("%v, %+v", err, got.LeftOut)
	}
}

func TestTakesInPart(t *testing.T) {
	path, _ := lanternJournal(t)
	stdout, _, code := barline(t, "--journal", path, "takes", "lantern-three-cones", "--part")
	for _, want := range []string{"1 take, The coffee to The second, version ", "left out: 1 without water, 7 whole", "What to look for", "where time is lost is told from 3 takes on"} {
		if code != 0 || !strings.Contains(stdout, want) {
			t.Errorf("%d, %q is not in\n%s", code, want, stdout)
		}
	}
	if strings.Contains(stdout, "Welcome") || strings.Contains(stdout, "Close") {
		t.Errorf("sections that were left out are shown\n%s", stdout)
	}
}

func TestTakesAsJSONAndCSV(t *testing.T) {
	path, ids := lanternJournal(t)
	stdout, _, code := barline(t, "--journal", path, "takes", "lantern-three-cones", "--json")
	var got jsonTakes
	if err := json.Unmarshal([]byte(stdout), &got); err != nil || code != 0 {
		t.Fatal(err, code)
	}
	if got.Schema != 1 || len(got.Takes) != 6 || got.Takes[0].ID != ids[0] || got.LeftOut != (jsonRest{Water: 1, Partial: 1, Stopped: 1}) {
		t.Errorf("%+v", got.LeftOut)
	}
	// By hand: water on right, its last pour and its drawdown each come so much
	// late, the serving and what is said behind it with them; and time is called
	// so much over that.
	for i, take := range got.Takes {
		want := 556 + 3*0.4*float64(6-i) + 10*float64(i)
		if math.Abs(take.LengthS-want) > 1e-6 {
			t.Errorf("take %d took %v s, want %v", i+1, take.LengthS, want)
		}
		if over := max(want-600, 0); take.Points != int(math.Ceil(over-1e-9)) || math.Abs(take.OverS-over) > 1e-6 {
			t.Errorf("take %d of %v s costs %d points", i+1, take.LengthS, take.Points)
		}
	}
	stdout, _, _ = barline(t, "--journal", path, "takes", "lantern-three-cones", "--csv")
	rows, err := csv.NewReader(strings.NewReader(stdout)).ReadAll()
	if err != nil || len(rows) != 1+6*7 || rows[7][5] != "whole" || rows[1][0] != ids[0] {
		t.Errorf("%d rows, %v", len(rows), err)
	}
}

func TestTwoTakesCompared(t *testing.T) {
	path, ids := lanternJournal(t)
	stdout, _, code := barline(t, "--journal", path, "takes", "lantern-three-cones", "--compare", "1", "last")
	if code != 0 {
		t.Fatal(code)
	}
	// The first take marks 2.4 s late, the last 0.4 s.
	for _, want := range []string{"A: take " + ids[0][:8], "written  section", "start of left +2.4 s +0.4 s -2.0 s", "left: drawdown, end +7.2 s +1.2 s -6.0 s"} {
		if !strings.Contains(strings.Join(strings.Fields(stdout), " "), strings.Join(strings.Fields(want), " ")) {
			t.Errorf("%q is not in\n%s", want, stdout)
		}
	}
	stdout, _, _ = barline(t, "--journal", path, "takes", "lantern-three-cones", "--compare", ids[6], ids[7], "--json")
	var got jsonCompare
	if err := json.Unmarshal([]byte(stdout), &got); err != nil || got.A.ID != ids[6] || got.B.ID != ids[7] || len(got.Beats) == 0 {
		t.Errorf("%v, %+v", err, got.A.ID)
	}
}

func TestTakesThatMakeNoSense(t *testing.T) {
	path, ids := lanternJournal(t)
	for _, c := range []struct {
		args string
		code int
		says string
	}{
		{"takes lantern-three-cones --json --csv", 2, "--json and --csv"},
		{"takes lantern-three-cones 2", 2, "--compare does not say"},
		{"takes lantern-three-cones --compare 2", 2, "beside which take?"},
		{"takes lantern-three-cones --kind war", 2, `--kind "war" is none of`},
		{"takes lantern-three-cones --compare 7 1", 1, "no take 7: there are 6"},
		{"takes lantern-three-cones --compare 1 zzz", 1, `no take "zzz"`},
		{"takes lantern-three-cones --compare " + ids[0][:4] + "x 1", 1, "no take"},
		{"takes lantern-cone-and-press", 1, `no takes of "Lantern, cone and press" in the journal`},
		{"takes lantern-three-cones --version ffff", 1, "no such take of Lantern, three cones to look at; left out: 1 without water, 1 in part, 1 stopped, 6 of another version"},
		{"takes lantern-three-cones --kind service", 1, "no such take"},
	} {
		_, stderr, code := barline(t, append([]string{"--journal", path}, strings.Fields(c.args)...)...)
		if code != c.code || !strings.Contains(stderr, c.says) {
			t.Errorf("%s: %d, %s", c.args, code, stderr)
		}
	}
}

// BenchmarkTakes is a thousand takes, read from the journal and put together,
// and from there to the table.
func BenchmarkTakes(b *testing.B) {
	path := filepath.Join(b.TempDir(), "journal.db")
	j, err := journal.Open(path, journal.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer j.Close()
	p := lantern(b, "lantern-three-cones.yaml", false)
	for n := range 1000 {
		keepTake(b, j, n, performed(b, p, p.Whole(), time.Duration(n%40)*100*time.Millisecond, 0), false)
	}
	read := func(b *testing.B) []journal.Taken {
		records, err := j.Taken(context.Background(), p.Name)
		if err != nil || len(records) != 1000 {
			b.Fatal(err, len(records))
		}
		return records
	}
	replay := func(b *testing.B, records []journal.Taken) []routine.Result {
		all, broken := resultsOf(records, "")
		if len(broken) > 0 {
			b.Fatal(broken[0])
		}
		return all
	}
	b.Run("read", func(b *testing.B) {
		for b.Loop() {
			read(b)
		}
	})
	records := read(b)
	b.Run("replay", func(b *testing.B) {
		for b.Loop() {
			replay(b, records)
		}
	})
	all := replay(b, records)
	b.Run("table", func(b *testing.B) {
		for b.Loop() {
			if table := routine.TableOf(routine.PoolOf(all[0]).In(all)); len(table.Takes) != 1000 {
				b.Fatal(len(table.Takes))
			}
		}
	})
}
