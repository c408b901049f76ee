package journal_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"

	"github.com/google/uuid"
)

// drifts returns what the journal tells statistics.
func drifts(t testing.TB, j *journal.Journal, c journal.Counting) journal.Drifts {
	t.Helper()
	d, err := j.Drifts(ctx, c)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// folded returns the same as every brew alone tells it, through Load, Fold and
// a debrief. It is what the quick way must give.
func folded(t testing.TB, j *journal.Journal, recipe string, kind journal.Kind) *drift.Record {
	t.Helper()
	return foldedAs(t, j, journal.Counting{Recipe: recipe, Kind: kind})
}

func foldedAs(t testing.TB, j *journal.Journal, c journal.Counting) *drift.Record {
	t.Helper()
	recipe, kind := c.Recipe, c.Kind
	page, err := j.List(ctx, journal.Filter{Recipe: recipe, Kind: kind}, journal.Cursor{}, 1<<20)
	must(t, err)
	out := &drift.Record{}
	for _, b := range page.Brews {
		r := load(t, j, b.ID)
		lane, err := r.Fold()
		must(t, err)
		if r.Speed != 1 && !c.AnySpeed || r.From != 0 && !c.AnyStart || r.End == journal.Running {
			continue
		}
		d := drift.Conditions{CutOff: r.End == journal.CutOff}.Of(lane)
		for _, w := range journal.CurrentWeights(r.Weights) {
			for i, row := range d.Rows {
				if cue := r.Plan.Cues[row.Cue]; row.Key == w.Beat && row.Edge == brew.EndEdge {
					d.Rows[i].Weight = &drift.Weight{Read: *w.Mass, Target: cue.Scale, HasTarget: cue.OnScale, Off: *w.Mass - cue.Scale}
				}
			}
		}
		out.Take(rawID(t, r.ID), r.Start, r.Person, r.Plan, d)
	}
	if (c == journal.Counting{Recipe: recipe} || c == journal.Counting{Recipe: recipe, Kind: drift.Service}) { // which alone attempts are made of
		gone, err := j.Forgotten(ctx, recipe)
		must(t, err)
		for _, f := range gone {
			out.Forgot(drift.Forgotten{Person: f.Person, Version: f.Version, Start: f.Start})
		}
	}
	return out
}

func rawID(t testing.TB, text string) [16]byte {
	t.Helper()
	id, err := uuid.Parse(text)
	must(t, err)
	return id
}

// told is everything that statistics make of a record, whatever the order in
// which its brews were added.
func told(t testing.TB, r *drift.Record) string {
	t.Helper()
	var out strings.Builder
	for _, version := range r.Versions() {
		s := r.Choose(drift.Choice{Version: version})
		fmt.Fprintf(&out, "%s %d %v\n", version, s.Len(), s.Persons())
		for i := range s.Len() {
			fmt.Fprintln(&out, s.Head(i))
		}
		for _, m := range []drift.Measure{drift.ByDrift, drift.BySlip, drift.ByCarried} {
			for _, c := range s.Columns() {
				x, _ := s.Series(c.What, c.Key, m)
				fmt.Fprintln(&out, c, x.Tally, x.Values)
			}
		}
		fit := r.Fit([]drift.Attempt{{Person: "Ada", Version: version, Opened: morning, Brews: 3}})[0]
		if fit.Failed >= 0 {
			fmt.Fprintln(&out, r.Head(fit.Failed))
		}
		fit.Failed = 0 // it is numbered in the order of adding
		fmt.Fprintln(&out, fit)
	}
	return out.String()
}

func TestManyBrewsAreWhatEachIsAlone(t *testing.T) {
	j := fresh(t)
	fullOf(t, j)
	for _, recipe := range []string{"Quayside press", "quayside CONE", "nobody's"} {
		for _, kind := range drift.Kinds() {
			d := drifts(t, j, journal.Counting{Recipe: recipe, Kind: kind})
			if got, want := told(t, d.Record), told(t, folded(t, j, recipe, kind)); got != want {
				t.Errorf("%s, %s: told\n%s\nwant\n%s", recipe, kind, got, want)
			}
		}
	}
}

func TestOtherSpeedsAndStartsCountWhereTheyAreAskedFor(t *testing.T) {
	j := fresh(t)
	p := press(t)
	for n, change := range []func(*journal.Record){
		func(*journal.Record) {},
		func(r *journal.Record) { r.Speed = 2.5 },
		func(r *journal.Record) { r.From = 4 * time.Second },
	} {
		r, events := brewed(p, morning.Add(time.Duration(n)*time.Hour)), follow(p)
		r.Kind = drift.Practice
		change(&r)
		events[0].From = r.From
		record(t, j, r, events)
	}
	for _, c := range []struct {
		speed, start bool
		want         int
	}{{false, false, 1}, {true, false, 2}, {false, true, 2}, {true, true, 3}} {
		count := journal.Counting{Recipe: p.Name, Kind: drift.Practice, AnySpeed: c.speed, AnyStart: c.start}
		for range 2 {
			d := drifts(t, j, count)
			if got, want := told(t, d.Record), told(t, foldedAs(t, j, count)); d.Record.Len() != c.want || got != want {
				t.Errorf("%+v: %d brews, told\n%s\nwant\n%s", c, d.Record.Len(), got, want)
			}
		}
	}
}

func TestAWeightThatWasTakenBackIsNone(t *testing.T) {
	j := fresh(t)
	q := cone(t)
	id := record(t, j, brewed(q, morning), follow(q))
	before := told(t, drifts(t, j, journal.Counting{Recipe: q.Name}).Record)
	first, second := brew.Mass(44_000), brew.Mass(46_000)
	weights := []journal.Weight{
		{ID: idAt(morning), Beat: "first pour, end", Mass: &first, Taken: morning},
		{ID: idAt(morning), Beat: "first pour, end", Mass: &second, Taken: morning},
		{ID: idAt(morning), Beat: "first pour, end", Taken: morning},
	}
	weights[1].Replaces, weights[2].Replaces = weights[0].ID, weights[1].ID
	for n, want := range []string{"-1", "1", before} {
		must(t, j.AddWeight(ctx, id, weights[n]))
		r := drifts(t, j, journal.Counting{Recipe: q.Name}).Record
		if n == 2 {
			if got := told(t, r); got != want {
				t.Errorf("taken back it is told as\n%s\nwant\n%s", got, want)
			}
			continue
		}
		x, _ := r.Choose(drift.Choice{}).Series(drift.Weights, "first pour, end", drift.ByDrift)
		if got := fmt.Sprint(x.Values); got != "["+want+"]" {
			t.Errorf("after weight %d it is off by %s g, want %s", n, got, want)
		}
	}
}

func TestABrewUnderWayDoesNotCountAndOneCutOffFails(t *testing.T) {
	j := fresh(t)
	p := press(t)
	rec := begin(t, j, brewed(p, morning))
	for n, e := range follow(p)[:3] {
		must(t, rec.Append(n, e))
	}
	if n := drifts(t, j, journal.Counting{Recipe: p.Name}).Record.Len(); n != 0 {
		t.Errorf("%d brews while the first is under way", n)
	}
	must(t, finish(t, rec))
	d := drifts(t, j, journal.Counting{Recipe: p.Name})
	if d.Record.Len() != 1 || !d.Record.Head(0).Stopped || d.Record.Choose(drift.Choice{}).Len() != 0 {
		t.Errorf("a brew that was cut off: %d brews", d.Record.Len())
	}
}

// pieces counts what is kept, and changes it behind the journal's back.
func pieces(t testing.TB, j *journal.Journal) int {
	return count(t, j.Path(), "SELECT count(*) FROM pieces")
}

// filled makes a journal of so many brews of each of two recipes, quickly.
func filled(t testing.TB, n int) *journal.Journal {
	t.Helper()
	j := fresh(t)
	var out bytes.Buffer
	for _, p := range []*brew.Plan{press(t), cone(t)} {
		one := fresh(t)
		record(t, one, brewed(p, morning), follow(p))
		for k, l := range strings.Split(strings.TrimSpace(string(exported(t, one))), "\n") {
			if !strings.HasPrefix(l, `{"brew"`) {
				if k > 0 || out.Len() == 0 {
					fmt.Fprintln(&out, l)
				}
				continue
			}
			id := l[strings.Index(l, `"id":"`)+6:][:36]
			for i := range n {
				start := morning.Add(time.Duration(i) * 2 * time.Minute)
				m := strings.Replace(l, id, idAt(start), 1)
				m = strings.Replace(m, morning.Format(time.RFC3339Nano), start.Format(time.RFC3339Nano), 1)
				fmt.Fprintln(&out, strings.Replace(m, `"person":"Ada"`, fmt.Sprintf(`"person":"person %d"`, i%4), 1))
			}
		}
	}
	if _, err := j.Import(ctx, &out); err != nil {
		t.Fatal(err)
	}
	return j
}

func TestWhatIsKeptIsReadAndMadeAnewWhereABrewChanged(t *testing.T) {
	j := filled(t, 400) // of each of two: slots 0 and 1
	c := journal.Counting{Recipe: "quayside press"}
	cold := told(t, drifts(t, j, c).Record)
	if n := pieces(t, j); n != 1 {
		t.Errorf("%d pieces are kept, want that of the first slot alone", n)
	}
	if warm := told(t, drifts(t, j, c).Record); warm != cold {
		t.Error("read from what is kept it is another record")
	}
	sound(t, j)

	list, err := j.List(ctx, journal.Filter{Recipe: "quayside press"}, journal.Cursor{}, 1<<20)
	must(t, err)
	oldest := list.Brews[len(list.Brews)-1].ID
	mass := brew.Mass(60_000)
	for _, step := range []struct {
		what   string
		change func()
	}{
		{"a weight", func() {
			must(t, j.AddWeight(ctx, oldest, journal.Weight{Beat: "first pour, end", Mass: &mass, Taken: morning}))
		}},
		{"a new event", func() { tamper(t, j.Path(), "UPDATE events SET at_ns = at_ns + 1000000 WHERE brew = 1 AND seq = 1") }},
		{"a new start", func() { tamper(t, j.Path(), "UPDATE brews SET person = 'Zelda' WHERE n = 2") }},
		{"a plan", func() { tamper(t, j.Path(), "UPDATE plans SET schema = schema") }},
		{"forgetting", func() { must(t, j.Forget(ctx, oldest)) }},
	} {
		drifts(t, j, c)
		if n := pieces(t, j); n != 1 {
			t.Errorf("before %s %d pieces are kept", step.what, n)
		}
		step.change()
		if n := pieces(t, j); n != 0 {
			t.Errorf("after %s %d pieces are kept", step.what, n)
		}
		if got, want := told(t, drifts(t, j, c).Record), told(t, folded(t, j, c.Recipe, drift.Service)); got != want {
			t.Errorf("after %s it is not what folding gives", step.what)
		}
	}
}

func TestADamagedPieceIsToldAndDoesNoHarm(t *testing.T) {
	j := filled(t, 300)
	c := journal.Counting{Recipe: "quayside press"}
	cold := told(t, drifts(t, j, c).Record)
	dice := rand.New(rand.NewPCG(5, 5))
	for name, change := range map[string]func(piece []byte) []byte{
		"a flipped byte": func(p []byte) []byte { p[dice.IntN(len(p))] ^= byte(1 + dice.IntN(255)); return p },
		"cut short":      func(p []byte) []byte { return p[:dice.IntN(len(p))] },
		"empty":          func([]byte) []byte { return []byte{} },
		"another's":      func([]byte) []byte { return (&drift.Record{}).Pack(nil) },
	} {
		t.Run(name, func(t *testing.T) {
			db := raw(t, j.Path())
			var p []byte
			must(t, db.QueryRow("SELECT piece FROM pieces").Scan(&p))
			if _, err := db.Exec("UPDATE pieces SET piece = ?", change(p)); err != nil {
				t.Fatal(err)
			}
			findings, _, err := j.Verify(ctx)
			must(t, err)
			if len(findings) != 1 || findings[0].Check != journal.CheckPieces || !strings.Contains(findings[0].Detail, `service "Quayside press", numbers 0 to 511`) {
				t.Errorf("verify finds %v", findings)
			}
			if name != "another's" { // that one is whole, and only verify can tell
				if got := told(t, drifts(t, j, c).Record); got != cold {
					t.Error("it is another record")
				}
				sound(t, j) // and the piece was made anew
			}
			must(t, j.Rebuild(ctx))
			sound(t, j)
			if n := pieces(t, j); n != 1 {
				t.Errorf("after rebuilding %d pieces are kept", n)
			}
			if got := told(t, drifts(t, j, c).Record); got != cold {
				t.Error("after rebuilding it is another record")
			}
		})
	}
}

func TestWithoutWritingNothingIsKept(t *testing.T) {
	j := filled(t, 300)
	c := journal.Counting{Recipe: "quayside press"}
	want := told(t, folded(t, j, c.Recipe, drift.Service))
	must(t, j.Close())
	text, err := os.ReadFile(j.Path())
	must(t, err)
	for name, prepare := range map[string][]string{
		"a newer file":  {"PRAGMA user_version = 999"},
		"and no pieces": {"DROP TABLE pieces", "PRAGMA user_version = 999"},
	} {
		path := filepath.Join(t.TempDir(), "journal.db")
		must(t, os.WriteFile(path, text, 0o600))
		for _, trigger := range triggers(t, path) {
			if name == "and no pieces" {
				tamper(t, path, "DROP TRIGGER "+trigger)
			}
		}
		tamper(t, path, prepare...)
		k := open(t, path)
		if k.ReadOnly() == nil {
			t.Fatalf("%s can be written", name)
		}
		d, err := k.Drifts(ctx, c)
		if name == "and no pieces" {
			if err == nil {
				t.Errorf("%s: no error", name)
			}
			continue
		}
		if err != nil || told(t, d.Record) != want {
			t.Errorf("%s: another record, %v", name, err)
		}
		if n := pieces(t, k); n != 0 {
			t.Errorf("%s: %d pieces", name, n)
		}
	}
}

func triggers(t testing.TB, path string) (names []string) {
	t.Helper()
	db := raw(t, path)
	defer db.Close()
	rows, err := db.Query("SELECT name FROM sqlite_schema WHERE type = 'trigger'")
	must(t, err)
	defer rows.Close()
	for rows.Next() {
		var name string
		must(t, rows.Scan(&name))
		names = append(names, name)
	}
	return names
}

// TestKeptIsFoldedWhateverHappens brews, stops, forgets, weighs and imports in
// any order, and looks at what is kept in between.
func TestKeptIsFoldedWhateverHappens(t *testing.T) {
	t.Parallel()
	base := filled(t, 270)
	must(t, base.Close())
	text, err := os.ReadFile(base.Path())
	must(t, err)
	for seed := range campaign(t, 12) {
		path := filepath.Join(t.TempDir(), "journal.db")
		must(t, os.WriteFile(path, text, 0o600))
		happens(t, open(t, path), rand.New(rand.NewPCG(uint64(seed), 8)))
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
}

func happens(t *testing.T, j *journal.Journal, dice *rand.Rand) {
	t.Helper()
	defer j.Close()
	plans := []*brew.Plan{press(t), cone(t)}
	var gone []byte // the lines of all that there was before the last forgetting
	some := func() (id string) {
		must(t, raw(t, j.Path()).QueryRow("SELECT id FROM brews WHERE n >= ? LIMIT 1", 1+dice.IntN(540)).Scan(&id))
		return id
	}
	for step := range 1 + dice.IntN(8) {
		p := plans[dice.IntN(2)]
		events := follow(p)
		switch dice.IntN(6) {
		case 0:
			record(t, j, brewed(p, morning.Add(time.Duration(1000+step)*time.Hour)), events)
		case 1:
			record(t, j, brewed(p, morning.Add(time.Duration(1000+step)*time.Hour)), events[:2])
		case 2:
			mass := brew.Mass(dice.IntN(300_000))
			must(t, j.AddWeight(ctx, some(), journal.Weight{Beat: "second pour, end", Mass: &mass, Taken: morning}))
		case 3:
			gone = exported(t, j)
			must(t, j.Forget(ctx, some()))
		case 4:
			if gone != nil {
				_, err := j.Import(ctx, bytes.NewReader(gone))
				must(t, err)
			}
		}
		drifts(t, j, journal.Counting{Recipe: p.Name})
	}
	var warm [2][]byte
	for i, p := range plans {
		warm[i] = drifts(t, j, journal.Counting{Recipe: p.Name}).Record.Pack(nil)
	}
	sound(t, j)
	tamper(t, j.Path(), "DELETE FROM pieces")
	for i, p := range plans {
		if cold := drifts(t, j, journal.Counting{Recipe: p.Name}).Record.Pack(nil); !bytes.Equal(warm[i], cold) {
			t.Errorf("%s read from what was kept is another record", p.Name)
		}
	}
}

func TestRecipesAreNamedOnceWhateverTheCase(t *testing.T) {
	j := fresh(t)
	for n, name := range []string{"quick", "Quick", "Éclair", "Slow one", "éCLAIR ", "another"} {
		r := quick
		r.Name = name
		record(t, j, brewed(planOf(t, r), morning.Add(time.Duration(n)*time.Hour)), follow(planOf(t, r)))
	}
	names, err := j.Recipes(ctx)
	if got := fmt.Sprint(names); err != nil || got != "[another Quick Slow one Éclair]" {
		t.Errorf("got %s, %v", got, err)
	}
}

// A recipe is one however its name is spelt, in any script: its brews, what stays
// of those that were forgotten, and the attempts at it.
func TestARecipeIsOneHoweverItIsSpelt(t *testing.T) {
	j := fresh(t)
	at := func(n int) time.Time { return morning.Add(time.Duration(n) * time.Hour) }
	var ids []string
	for n, name := range []string{"Éclair", "éclair", "ÉCLAIR", "Eclair", "éclair"} {
		r := quick
		r.Name = name
		p := planOf(t, r)
		if n == 0 {
			for i, spelt := range []string{"Éclair", "éclair", "Eclair"} {
				must(t, j.SaveAttempt(ctx, journal.Attempt{ID: idAt(at(-3 + i)), Person: "Ada", Recipe: spelt, Version: p.Version, Brews: 9, Opened: at(-3 + i)}))
			}
		}
		ids = append(ids, record(t, j, brewed(p, at(n)), follow(p)))
	}
	must(t, j.Forget(ctx, ids[4]))
	for name, want := range map[string][4]int{"éCLAIR": {3, 1, 2, 0}, " Éclair ": {3, 1, 2, 0}, "eclair": {1, 0, 1, 0}} {
		for _, when := range []string{"cold", "warm"} {
			d := drifts(t, j, journal.Counting{Recipe: name})
			gone, err := j.Forgotten(ctx, name)
			must(t, err)
			attempts, err := j.AttemptsAt(ctx, name)
			must(t, err)
			if got := [4]int{d.Record.Len(), len(gone), len(attempts), d.LeftOut}; got != want {
				t.Errorf("%q, %s: %v brews, forgotten, attempts and left out, want %v", name, when, got, want)
			}
		}
	}
	sound(t, j)
}

// TestNothingStaleIsKeptWhileAnotherWrites looks again and again while another
// terminal changes brews of the same slot.
func TestNothingStaleIsKeptWhileAnotherWrites(t *testing.T) {
	t.Parallel()
	j := filled(t, 300)
	c := journal.Counting{Recipe: "quayside press"}
	list, err := j.List(ctx, journal.Filter{Recipe: c.Recipe}, journal.Cursor{}, 1<<20)
	must(t, err)
	other := open(t, j.Path())
	done := make(chan error)
	go func() {
		var err error
		for n := 0; n < 25 && err == nil; n++ {
			mass := brew.Mass(40_000 + 1000*n)
			err = other.AddWeight(ctx, list.Brews[len(list.Brews)-1-n].ID, journal.Weight{Beat: "first pour, end", Mass: &mass, Taken: morning})
		}
		done <- err
	}()
	for looking := true; looking; {
		select {
		case err := <-done:
			must(t, err)
			looking = false
		default:
		}
		drifts(t, j, c)
	}
	sound(t, j)
}

func TestABrewThatCannotBeReadIsLeftOutAndCounted(t *testing.T) {
	for name, change := range map[string]string{
		"a gap":                      "DELETE FROM events WHERE brew = 1 AND seq = 2",
		"no first event":             "DELETE FROM events WHERE brew = 1 AND seq = 0",
		"an event that is none":      "UPDATE events SET kind = 'sip' WHERE brew = 1 AND seq = 1",
		"an event like two":          "UPDATE events SET kind = 'mark2/2mark' WHERE brew = 1 AND seq = 1",
		"an event without a name":    "UPDATE events SET kind = '' WHERE brew = 1 AND seq = 1",
		"a start that is no time":    "UPDATE brews SET start = 'noon' WHERE n = 1",
		"an id that is none":         "UPDATE brews SET id = 'x' WHERE n = 1",
		"a plan that leads astray":   `UPDATE plans SET json = replace(json, '"StartBeat":1', '"StartBeat":99') WHERE n = 1`,
		"a moment before the others": "UPDATE events SET kind = 'undo' WHERE brew = 1 AND seq = 1",
	} {
		t.Run(name, func(t *testing.T) {
			j := fresh(t)
			p, q := press(t), cone(t)
			record(t, j, brewed(p, morning), follow(p))
			r := brewed(q, morning.Add(time.Hour))
			record(t, j, r, follow(q))
			tamper(t, j.Path(), "PRAGMA foreign_keys = OFF", change)
			for range 2 {
				d := drifts(t, j, journal.Counting{Recipe: p.Name})
				if d.Record.Len() != 0 || d.LeftOut != 1 {
					t.Errorf("%d brews, %d left out", d.Record.Len(), d.LeftOut)
				}
				if d := drifts(t, j, journal.Counting{Recipe: q.Name}); d.Record.Len() != 1 || d.LeftOut != 0 {
					t.Errorf("of the other recipe %d brews, %d left out", d.Record.Len(), d.LeftOut)
				}
			}
		})
	}
}

// What is kept of the usual brews does not stand in for others, nor theirs for
// the usual.
func TestOtherSpeedsAndStartsAreNotTakenFromWhatIsKept(t *testing.T) {
	for _, c := range []struct {
		change string
		all    journal.Counting
	}{
		{"UPDATE brews SET speed = 2 WHERE n = 3", journal.Counting{Recipe: "Quayside press", AnySpeed: true}},
		{"UPDATE brews SET from_ns = 1 WHERE n = 3", journal.Counting{Recipe: "Quayside press", AnyStart: true}},
	} {
		usual := journal.Counting{Recipe: "Quayside press"}
		for _, order := range [][]journal.Counting{{usual, c.all}, {c.all, usual}} {
			j := filled(t, 300)
			tamper(t, j.Path(), c.change)
			lens := map[journal.Counting]int{}
			for _, count := range order {
				lens[count] = drifts(t, j, count).Record.Len()
			}
			if lens[c.all] != lens[usual]+1 {
				t.Errorf("%s: %v", c.change, lens)
			}
		}
	}
}
