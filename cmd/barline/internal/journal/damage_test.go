package journal_test

import (
	"bytes"
	"database/sql"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

// victim is a journal to be damaged: its file and its log as they lie on the
// disk after a kill, and what they hold.
type victim struct {
	files map[string][]byte
	brews []journal.Record // by number, from 1
}

// damageable makes a journal of some size, with much in its log or nothing.
func damageable(t *testing.T, logged bool) victim {
	t.Helper()
	path := filepath.Join(t.TempDir(), "journal.db")
	j := open(t, path)
	v := victim{files: map[string][]byte{}, brews: make([]journal.Record, 25)}
	for n := 1; n < len(v.brews); n++ {
		p := []*brew.Plan{press(t), cone(t)}[n%2]
		id := record(t, j, brewed(p, morning.Add(time.Duration(n)*time.Hour)), follow(p))
		v.brews[n] = load(t, j, id)
		if n == 18 {
			must(t, j.Close()) // brings the log into the file
			j = open(t, path)
		}
	}
	if !logged {
		must(t, j.Close())
	}
	for _, suffix := range []string{"", "-wal"} {
		if text, err := os.ReadFile(path + suffix); err == nil {
			v.files[suffix] = text
		}
	}
	if logged != (len(v.files["-wal"]) > 0) {
		t.Fatalf("the log has %d bytes", len(v.files["-wal"]))
	}
	return v
}

func TestAFileCutShort(t *testing.T) {
	damaging(t, campaign(t, 200), func(dice *rand.Rand, text []byte) []byte { return text[:dice.IntN(len(text))] })
}

func TestAFlippedByte(t *testing.T) {
	damaging(t, campaign(t, 200), func(dice *rand.Rand, text []byte) []byte {
		text = bytes.Clone(text)
		text[dice.IntN(len(text))] ^= byte(1 + dice.IntN(255))
		return text
	})
}

// damaging damages a journal in many places, half of them in its log, and does
// each time what the program does at its start: open it, set it aside where it
// is damaged, and brew. What could be read before must be there after, in the
// journal or set aside.
func damaging(t *testing.T, places int, damage func(*rand.Rand, []byte) []byte) {
	t.Parallel()
	whole, logged := damageable(t, false), damageable(t, true)
	dice := rand.New(rand.NewPCG(7, 7))
	tally := map[string]int{}
	readable := 0
	for place := range places {
		v, suffix := whole, ""
		if place%2 == 1 {
			v, suffix = logged, []string{"", "-wal"}[dice.IntN(2)]
		}
		path := filepath.Join(t.TempDir(), "journal.db")
		for s, text := range v.files {
			if s == suffix {
				text = damage(dice, text)
			}
			must(t, os.WriteFile(path+s, text, 0o600))
		}
		left := v.readable(t, path)
		readable += len(left)
		outcome := survive(t, path, left)
		tally[outcome]++
		if strings.HasPrefix(outcome, "opened") {
			keeps(t, v.readable(t, path), left)
			salvages(t, path, left)
		}
		if t.Failed() {
			t.Fatalf("at place %d, in the %q of the file", place, suffix)
		}
	}
	t.Logf("%d places: %v; %d of %d brews could be read after the damage, and all of them after the next brew too",
		places, tally, readable, places*24)
}

// survive opens a damaged journal and brews into it, and says what came of it.
func survive(t *testing.T, path string, readable []journal.Record) string {
	t.Helper()
	before := contents(t, path)
	outcome := "opened"
	j, err := journal.Open(path, journal.Options{})
	if err == nil {
		if err = j.Sound(ctx); err != nil {
			must(t, j.Close())
			before = contents(t, path) // closing has brought its log into it
		}
	}
	if err != nil {
		if causeOf(t, err) != journal.Damaged {
			t.Errorf("opening gives %v", err)
		}
		outcome = "set aside"
		j = setAside(t, path, err, before)
	}
	defer j.Close()
	r := brewed(press(t), morning.Add(1000*time.Hour))
	rec := begin(t, j, r)
	for n, e := range follow(r.Plan)[:3] {
		if err := rec.Append(n, e); err != nil {
			if causeOf(t, err) != journal.Damaged {
				t.Errorf("event %d: %v", n, err)
			}
		}
	}
	if err := finish(t, rec); err != nil { // it has tried once more
		if causeOf(t, err) != journal.Damaged {
			t.Errorf("the end: %v", err)
		}
		rescued(t, rec, 0)
		outcome += ", not written"
	} else if got, err := j.Load(ctx, r.ID); err != nil || len(got.Events) != 3 {
		t.Errorf("the new brew was saved, but reads as %d events, %v", len(got.Events), err)
	}
	for _, want := range readable {
		got, err := j.Load(ctx, want.ID)
		switch {
		case err == nil && !reflect.DeepEqual(got, want):
			t.Errorf("brew %s reads as another: %+v", want.ID, got)
		case err != nil && outcome == "set aside":
			t.Errorf("brew %s could be read, but was not salvaged: %v", want.ID, err)
		}
	}
	if _, _, err := j.Verify(ctx); err != nil {
		t.Errorf("verify: %v", err)
	}
	return outcome
}

// keeps fails where a brew is not there any more.
func keeps(t *testing.T, after, before []journal.Record) {
	t.Helper()
	there := map[string]bool{}
	for _, r := range after {
		there[r.ID] = true
	}
	for _, r := range before {
		if !there[r.ID] {
			t.Errorf("brew %s could be read, and cannot any more", r.ID)
		}
	}
}

// salvages fails where a brew that can be read is not salvaged.
func salvages(t *testing.T, path string, readable []journal.Record) {
	t.Helper()
	var lines strings.Builder
	if _, _, err := journal.Salvage(ctx, path, &lines); err != nil {
		t.Errorf("salvaging: %v", err)
	}
	for _, r := range readable {
		if !strings.Contains(lines.String(), `{"brew":{"id":"`+r.ID+`"`) {
			t.Errorf("brew %s can be read, but is not salvaged", r.ID)
		}
	}
}

// setAside does what the program does with a damaged journal, and brings what
// can be read of it into the new one.
func setAside(t *testing.T, path string, damage error, before map[string]string) *journal.Journal {
	t.Helper()
	aside, err := journal.SetAside(faultIn(t, damage), morning)
	must(t, err)
	if _, there := before[""]; !there {
		before[""] = "" // the name that is told is there
	}
	if after := contents(t, aside); !reflect.DeepEqual(after, before) {
		t.Error("set aside it is not what it was")
	}
	var lines bytes.Buffer
	_, _, err = journal.Salvage(ctx, aside, &lines)
	if err != nil && causeOf(t, err) != journal.Damaged {
		t.Errorf("salvaging: %v", err)
	}
	if after := contents(t, aside); !reflect.DeepEqual(after, before) {
		t.Error("salvaging changed the file")
	}
	j, err := journal.Open(path, journal.Options{})
	must(t, err)
	if lines.Len() > 0 {
		if _, err := j.Import(ctx, &lines); err != nil {
			t.Errorf("what was salvaged cannot be imported: %v", err)
		}
	}
	return j
}

// readable returns the brews that can still be read from a damaged file, by
// the plainest means: each row asked for by its number.
func (v victim) readable(t *testing.T, path string) (out []journal.Record) {
	t.Helper()
	dir := t.TempDir()
	for suffix, text := range contents(t, path) {
		must(t, os.WriteFile(filepath.Join(dir, "copy.db"+suffix), []byte(text), 0o600))
	}
	db, err := sql.Open("sqlite", "file:"+filepath.Join(dir, "copy.db")+"?mode=ro&_pragma=writable_schema(1)")
	must(t, err)
	defer db.Close()
	for n := 1; n < len(v.brews); n++ {
		want := v.brews[n]
		var got, events, text string
		row := db.QueryRow("SELECT id || kind || person || start || ended || end_ns || version || boot || zero_ns || lot || setting || kept || coffee || ticket || speed || "+
			"from_ns || marks || start_at_ns || lane || why || recipe || coalesce(kettle, '-') || coalesce(round, '-') || coalesce(take, '-'), "+
			"(SELECT group_concat(kind || at_ns || source || coalesce(weight_mg, '-') || text || from_ns || lane || cue || to_ns, ';' ORDER BY seq) FROM events WHERE brew = b.n), "+
			"(SELECT json FROM plans WHERE n = b.plan) || (SELECT text FROM texts WHERE n = b.text) FROM brews b WHERE n = ?", n)
		if row.Scan(&got, &events, &text) == nil && got == rowOf(want) && events == eventsOf(want) && text == planText(t, want)+want.Text {
			out = append(out, want)
		}
	}
	return out
}

func rowOf(r journal.Record) string {
	return fmt.Sprint(r.ID, r.Kind, r.Person, r.Start.Format(time.RFC3339Nano), r.End) + fmt.Sprint(int64(r.EndAt)) + r.Version +
		r.Clock.Boot + fmt.Sprint(int64(r.Clock.Zero)) + r.Lot + r.Setting + string(r.Clock.Kept) + r.Coffee + r.Order + "1.0" +
		fmt.Sprint(int64(r.From), r.Marks, int64(r.StartAt)) + fmt.Sprint(r.Lane) + r.Why + r.Recipe + "---"
}

func eventsOf(r journal.Record) string {
	var out []string
	for _, e := range r.Events {
		weight := "-"
		if e.Weight != nil {
			weight = fmt.Sprint(int64(*e.Weight))
		}
		out = append(out, fmt.Sprint(string(e.Kind), int64(e.At), string(e.Source), weight, e.Text, int64(e.From))+fmt.Sprint(e.Lane)+fmt.Sprint(e.Cue)+fmt.Sprint(int64(e.To)))
	}
	return strings.Join(out, ";")
}

// planText is the plan as the journal writes it, in Go's plainest JSON.
func planText(t *testing.T, r journal.Record) string {
	t.Helper()
	var out strings.Builder
	to := json.NewEncoder(&out)
	to.SetEscapeHTML(false)
	must(t, to.Encode(r.Plan))
	return strings.TrimSuffix(out.String(), "\n")
}

// TestSalvageGetsAroundADamagedPage overwrites a page in the middle of the
// table of brews: what stands before and behind it must be found all the same.
func TestSalvageGetsAroundADamagedPage(t *testing.T) {
	const page = 4096
	j := fresh(t)
	var ids []string
	for n := range 60 {
		ids = append(ids, record(t, j, brewed(cone(t), morning.Add(time.Duration(n)*time.Hour)), follow(cone(t))))
	}
	must(t, j.Close())
	text, err := os.ReadFile(j.Path())
	must(t, err)
	const leafOfATable = 0x0d // SQLite's file format, section 1.6
	at := -1
	for n := page; n < len(text); n += page {
		if text[n] == leafOfATable && bytes.Contains(text[n:n+page], []byte(ids[30])) {
			at = n
		}
	}
	if at < 0 {
		t.Fatal("the page of a brew was not found")
	}
	var want []string
	for _, id := range ids {
		if !bytes.Contains(text[at:at+page], []byte(id)) {
			want = append(want, id)
		}
	}
	if len(want) < 20 || len(want) == len(ids) || want[len(want)-1] != ids[59] || want[0] != ids[0] {
		t.Fatalf("the page is not in the middle: %d brews are on others", len(want))
	}
	copy(text[at:at+page], bytes.Repeat([]byte{0xff}, page))
	must(t, os.WriteFile(j.Path(), text, 0o600))
	var lines bytes.Buffer
	brews, lost, err := journal.Salvage(ctx, j.Path(), &lines)
	if err != nil || brews != len(want) || len(lost) == 0 {
		t.Errorf("%d brews were salvaged, want %d; lost %v, %v", brews, len(want), lost, err)
	}
	other := fresh(t)
	if _, err := other.Import(ctx, &lines); err != nil {
		t.Fatal(err)
	}
	for _, id := range want {
		load(t, other, id)
	}
	notWritten(t, j.Path())
}

// notWritten brews into a file that opens but is damaged inside.
func notWritten(t *testing.T, path string) {
	t.Helper()
	before := contents(t, path)
	j := open(t, path)
	rec := begin(t, j, brewed(press(t), morning))
	if err := rec.Append(0, brew.Event{Kind: brew.EventStart, Source: brew.FromKey}); causeOf(t, err) != journal.Damaged {
		t.Errorf("brewing gives %v", err)
	}
	if err := finish(t, rec); causeOf(t, err) != journal.Damaged {
		t.Errorf("the end gives %v", err)
	}
	if err := j.Sound(ctx); causeOf(t, err) != journal.Damaged {
		t.Errorf("looking through it gives %v", err)
	}
	if err := j.SaveBaseline(ctx, baseline(idAt(morning))); causeOf(t, err) != journal.Damaged {
		t.Errorf("saving gives %v", err)
	}
	must(t, j.Close())
	if after := contents(t, path); !reflect.DeepEqual(before, after) {
		t.Error("the damaged file was written to")
	}
}

// TestAWrongIndexLeadsToNoOtherBrew turns one entry of the index of ids to
// another brew's row, which no check of the file's structure finds.
func TestAWrongIndexLeadsToNoOtherBrew(t *testing.T) {
	j := fresh(t)
	var ids []string
	for n := range 8 {
		ids = append(ids, record(t, j, brewed(cone(t), morning.Add(time.Duration(n)*time.Hour)), follow(cone(t))))
	}
	must(t, j.Close())
	text, err := os.ReadFile(j.Path())
	must(t, err)
	// A record of two columns, 36 bytes of text and one of a whole number
	// (SQLite's file format, section 2.1): the fifth brew's id and its row.
	at := bytes.Index(text, append([]byte{3, 13 + 2*36, 1}, ids[4]...)) + 3 + 36
	if at < 3+36 || text[at] != 5 {
		t.Fatal("the index's entry was not found")
	}
	text[at] = 6
	must(t, os.WriteFile(j.Path(), text, 0o600))
	j = open(t, j.Path())
	must(t, j.Sound(ctx))
	if r, err := j.Load(ctx, ids[4]); causeOf(t, err) != journal.Damaged {
		t.Errorf("asked for %s, it gives %s, %v", ids[4], r.ID, err)
	}
	strength := 1.4
	if err := j.AddReading(ctx, ids[4], journal.Reading{What: journal.Strength, Value: &strength, Taken: morning}); causeOf(t, err) != journal.Damaged {
		t.Errorf("a reading of it: %v", err)
	}
	again := brewed(cone(t), morning)
	again.ID = ids[4]
	rec := begin(t, j, again)
	if err := rec.Append(0, brew.Event{Kind: brew.EventStart, Source: brew.FromKey}); causeOf(t, err) != journal.Damaged {
		t.Errorf("an event of it: %v", err)
	}
	if err := finish(t, rec); causeOf(t, err) != journal.Damaged {
		t.Errorf("the end: %v", err)
	}
	must(t, j.Rebuild(ctx))
	if got := load(t, j, ids[4]); got.ID != ids[4] {
		t.Errorf("rebuilt, it gives %s", got.ID)
	}
	sound(t, j)
}

// TestSalvageTakesABrewWithoutWhatCannotBeRead wipes the pages of everything
// that a brew can be understood without, one after the other.
func TestSalvageTakesABrewWithoutWhatCannotBeRead(t *testing.T) {
	const page = 4096
	for table, without := range map[string]string{"texts": "its recipe's text", "readings": "its readings", "weights": "its weights"} {
		j := fresh(t)
		id := record(t, j, brewed(cone(t), morning), follow(cone(t)))
		strength, mass := 1.4, brew.Mass(200_000)
		must(t, j.AddReading(ctx, id, journal.Reading{What: journal.Strength, Value: &strength, Taken: morning}))
		must(t, j.AddWeight(ctx, id, journal.Weight{Beat: cone(t).Beats[0].Key, Mass: &mass, Source: brew.FromScale, Taken: morning}))
		whole := load(t, j, id)
		must(t, j.Close())
		root := rootOf(t, j.Path(), table)
		text, err := os.ReadFile(j.Path())
		must(t, err)
		copy(text[(root-1)*page:root*page], bytes.Repeat([]byte{0xff}, page))
		must(t, os.WriteFile(j.Path(), text, 0o600))
		var lines bytes.Buffer
		brews, lost, err := journal.Salvage(ctx, j.Path(), &lines)
		if err != nil || brews != 1 || len(lost) != 1 || lost[0].Brew != id || lost[0].Detail != without {
			t.Errorf("%s: %d brews, lost %v, %v", table, brews, lost, err)
			continue
		}
		other := fresh(t)
		if _, err := other.Import(ctx, &lines); err != nil {
			t.Fatal(err)
		}
		got := load(t, other, id)
		if !reflect.DeepEqual(got.Events, whole.Events) || (table != "readings") != (len(got.Readings) == 1) || (table != "weights") != (len(got.Weights) == 1) {
			t.Errorf("%s: salvaged as %+v", table, got)
		}
	}
}

// rootOf returns the number of a table's first page.
func rootOf(t *testing.T, path, table string) (page int) {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+path+"?mode=ro")
	must(t, err)
	defer db.Close()
	must(t, db.QueryRow("SELECT rootpage FROM sqlite_schema WHERE name = ?", table).Scan(&page))
	return page
}
