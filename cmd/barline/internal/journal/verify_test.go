package journal_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

func TestVerifyNamesWhatIsWrong(t *testing.T) {
	for name, c := range map[string]struct {
		change []string
		check  journal.Check
		detail string
	}{
		"a gap among the events":           {[]string{"DELETE FROM events WHERE brew = 1 AND seq = 2"}, journal.CheckSequence, "event 2 is missing"},
		"no first event":                   {[]string{"DELETE FROM events WHERE brew = 1 AND seq = 0"}, journal.CheckSequence, "event 0 is missing"},
		"a gap in a round":                 {[]string{"UPDATE round_events SET seq = 1"}, journal.CheckSequence, "round"},
		"a gap in a take":                  {[]string{"UPDATE take_events SET seq = 7 WHERE seq = 1"}, journal.CheckSequence, "take"},
		"a version that is not the plan's": {[]string{"UPDATE brews SET version = 'x' WHERE n = 1"}, journal.CheckPlan, "x, but its plan is of"},
		"a recipe that is not the plan's":  {[]string{"UPDATE brews SET recipe = 'x' WHERE n = 1"}, journal.CheckPlan, `"x"`},
		"an event that does not follow":    {[]string{"UPDATE events SET kind = 'undo' WHERE brew = 1 AND seq = 1"}, journal.CheckFold, "nothing to take back"},
		"an event that is none":            {[]string{"UPDATE events SET kind = 'sip' WHERE brew = 1 AND seq = 1"}, journal.CheckFold, "sip at"},
		"an end that was made up":          {[]string{"UPDATE brews SET ended = 'stopped' WHERE n = 1"}, journal.CheckEnd, "but its events give finished"},
		"an end at another moment":         {[]string{"UPDATE brews SET end_ns = end_ns + 1 WHERE n = 1"}, journal.CheckEnd, "but its events give finished"},
		"an end that was lost":             {[]string{"UPDATE brews SET ended = NULL, end_ns = NULL WHERE n = 1", "DELETE FROM beats WHERE brew = 1"}, journal.CheckEnd, "end none"},
		"another reason":                   {[]string{"UPDATE brews SET why = 'x' WHERE ended = 'stopped'"}, journal.CheckEnd, `"x"`},
		"a beat that is not as folded":     {[]string{"UPDATE beats SET called_ns = called_ns + 1 WHERE brew = 1 AND beat = 3"}, journal.CheckCache, "beat 3"},
		"a beat that was not marked":       {[]string{"UPDATE beats SET marked_ns = NULL WHERE brew = 1 AND marked_ns IS NOT NULL"}, journal.CheckCache, "is not what folding gives"},
		"a beat too few":                   {[]string{"DELETE FROM beats WHERE brew = 1 AND beat = 0"}, journal.CheckCache, "beats, folding gives"},
		"beats of what did not end":        {[]string{"INSERT INTO beats SELECT 4, beat, key, owner, asked, status, early_ns, late_ns, written_ns, called_ns, marked_ns, weight_mg FROM beats WHERE brew = 1"}, journal.CheckCache, "folding gives 0"},
		"a start that sorts elsewhere":     {[]string{"UPDATE brews SET start_ns = start_ns + 1 WHERE n = 1"}, journal.CheckStart, "but sorted as"},
		"a start that is no time":          {[]string{"UPDATE brews SET start = 'noon' WHERE n = 1"}, journal.CheckStart, "want RFC 3339"},
		"a plan that was changed":          {[]string{"UPDATE plans SET json = replace(json, '14000', '15000')"}, journal.CheckContent, "one of plans"},
		"a text that was changed":          {[]string{"UPDATE texts SET text = text || ' '"}, journal.CheckContent, "one of texts"},
		"a plan that is none":              {[]string{"UPDATE plans SET json = '{}'"}, journal.CheckUnreadable, "no cues"},
		"a plan of another schema":         {[]string{"UPDATE plans SET schema = 9"}, journal.CheckUnreadable, "plan of schema 9"},
		"a plan that leads astray":         {[]string{`UPDATE plans SET json = replace(json, '"StartBeat":1', '"StartBeat":99')`}, journal.CheckUnreadable, "not its own"},
		"a brew without its plan":          {[]string{"DELETE FROM plans WHERE n = 1"}, journal.CheckLinks, "has no plans"},
		"an event without its brew":        {[]string{"DELETE FROM brews WHERE n = 1"}, journal.CheckLinks, "has no brews"},
		"a reading corrected by nothing":   {[]string{"DELETE FROM readings WHERE replaces IS NULL AND what = 'strength'"}, journal.CheckReadings, "which is not there"},
		"a weight corrected by nothing":    {[]string{"DELETE FROM weights WHERE replaces IS NULL"}, journal.CheckReadings, "weight"},
		"an id that is none":               {[]string{"UPDATE brews SET id = 'x' WHERE n = 1"}, journal.CheckUnreadable, "UUIDv7"},
	} {
		t.Run(name, func(t *testing.T) {
			j := fresh(t)
			fullOf(t, j)
			sound(t, j)
			tamper(t, j.Path(), append([]string{"PRAGMA foreign_keys = OFF"}, c.change...)...)
			findings, brews, err := j.Verify(ctx)
			must(t, err)
			if brews == 0 {
				t.Error("no brew was looked at")
			}
			found := false
			for _, f := range findings {
				found = found || f.Check == c.check && strings.Contains(f.Detail, c.detail)
			}
			if !found {
				t.Errorf("found %v, want %s: %s", findings, c.check, c.detail)
			}
		})
	}
}

func TestVerifyFindsAWrongIndexAndRebuildMakesItAnew(t *testing.T) {
	j := fresh(t)
	fullOf(t, j)
	// SQLite lets an index be emptied by telling it that it is about nothing.
	tamper(t, j.Path(), "PRAGMA writable_schema = ON",
		"UPDATE sqlite_schema SET sql = sql || ' WHERE n < 0' WHERE name = 'brews_by_start'", "PRAGMA writable_schema = RESET", "REINDEX brews_by_start",
		"PRAGMA writable_schema = ON", "UPDATE sqlite_schema SET sql = replace(sql, ' WHERE n < 0', '') WHERE name = 'brews_by_start'", "PRAGMA writable_schema = RESET",
		"UPDATE beats SET called_ns = called_ns + 1")
	findings, _, err := j.Verify(ctx)
	must(t, err)
	text := ""
	for _, f := range findings {
		text += f.String() + "\n"
	}
	if !strings.Contains(text, "file: ") || !strings.Contains(text, "brews_by_start") || !strings.Contains(text, "cache: ") {
		t.Errorf("found\n%s", text)
	}
	must(t, j.Rebuild(ctx))
	sound(t, j)
}

func TestForgettingLeavesNothing(t *testing.T) {
	j := fresh(t)
	ids := fullOf(t, j)
	kept := load(t, j, ids[1])
	secret := brewed(planOf(t, quick), morning)
	secret.Person, secret.Lot, secret.Text = "Zelda the Unmistakable", "lot-of-nobody", "text-of-nobody"
	id := record(t, j, secret, []brew.Event{{Kind: brew.EventNote, Source: brew.FromKey, Text: "note-of-nobody"}, {Kind: brew.EventStart, Source: brew.FromKey}, {Kind: brew.EventStop, At: 1, Source: brew.FromKey, Text: "why-of-nobody"}})
	must(t, j.AddReading(ctx, id, journal.Reading{What: journal.Taste, Text: "taste-of-nobody", Taken: morning}))
	drifts(t, j, journal.Counting{Recipe: secret.Plan.Name})
	before := counts(t, j)
	if err := j.Forget(ctx, id); err != nil {
		t.Fatal(err)
	}
	if _, err := j.Load(ctx, id); err != journal.ErrNotFound {
		t.Errorf("it can still be loaded: %v", err)
	}
	if err := j.Forget(ctx, id); err != journal.ErrNotFound {
		t.Errorf("forgetting it again: %v", err)
	}
	sound(t, j)
	after := counts(t, j)
	for table, n := range map[string]int{"brews": 1, "events": 3, "readings": 1, "plans": 1, "texts": 1, "beats": len(secret.Plan.Beats)} {
		if before[table]-after[table] != n {
			t.Errorf("%d of %s are gone, want %d", before[table]-after[table], table, n)
		}
	}
	if got := load(t, j, ids[1]); len(got.Events) != len(kept.Events) {
		t.Error("another brew lost something")
	}
	must(t, j.Forget(ctx, ids[0])) // its plan is another brew's as well
	sound(t, j)
	for suffix, text := range contents(t, j.Path()) {
		for _, word := range []string{"nobody", "Zelda", id} {
			if strings.Contains(text, word) {
				t.Errorf("%q is still in the file%s", word, suffix)
			}
		}
	}
}

func counts(t testing.TB, j *journal.Journal) map[string]int {
	out := map[string]int{}
	for _, table := range []string{"brews", "events", "readings", "weights", "plans", "texts", "beats", "rounds", "takes"} {
		out[table] = count(t, j.Path(), "SELECT count(*) FROM "+table)
	}
	return out
}

func TestADamagedFileIsSetAsideUnderANameOfItsOwn(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "journal.db")
	at := time.Date(2026, 6, 12, 8, 30, 5, 0, summer)
	for n, want := range []string{"journal.db.damaged-2026-06-12T083005", "journal.db.damaged-2026-06-12T083005-2", "journal.db.damaged-2026-06-12T083005-3"} {
		for _, suffix := range []string{"", "-wal", "-shm"}[:3-n] {
			must(t, os.WriteFile(path+suffix, []byte(want+suffix), 0o600))
		}
		_, err := journal.Open(path, journal.Options{})
		aside, err := journal.SetAside(faultIn(t, err), at)
		must(t, err)
		if filepath.Base(aside) != want {
			t.Errorf("it is called %s, want %s", aside, want)
		}
		if _, err := os.Stat(path); !os.IsNotExist(err) {
			t.Errorf("it is still there: %v", err)
		}
	}
	for n, name := range []string{"journal.db.damaged-2026-06-12T083005", "journal.db.damaged-2026-06-12T083005-2"} {
		for _, suffix := range []string{"", "-wal", "-shm"}[:3-n] {
			if text, err := os.ReadFile(filepath.Join(dir, name+suffix)); err != nil || string(text) != name+suffix {
				t.Errorf("%s holds %q, %v", name+suffix, text, err)
			}
		}
	}
}

func TestSalvageTakesWhatIsWholeAndTellsTheRest(t *testing.T) {
	j := fresh(t)
	ids := fullOf(t, j)
	tamper(t, j.Path(), "DELETE FROM events WHERE brew = 1 AND seq = 2", "UPDATE brews SET speed = 9e999 WHERE n = 2", "UPDATE events SET kind = 'sip' WHERE brew = 3 AND seq = 1")
	var out strings.Builder
	brews, lost, err := journal.Salvage(ctx, j.Path(), &out)
	if err != nil || brews != len(ids)-3 || len(lost) != 3 {
		t.Errorf("%d brews, lost %v, %v", brews, lost, err)
	}
	other := fresh(t)
	if _, err := other.Import(ctx, strings.NewReader(out.String())); err != nil {
		t.Fatal(err)
	}
	for _, id := range ids[3:] {
		load(t, other, id)
	}
	sound(t, other)
}

func TestTheFileIsSetToBeDurable(t *testing.T) {
	d, err := fresh(t).Durability(ctx)
	if want := (journal.Durability{Log: "wal", Synchronous: "full", FullSync: true, Links: true}); err != nil || d != want {
		t.Errorf("got %+v, %v, want %+v", d, err, want)
	}
}
