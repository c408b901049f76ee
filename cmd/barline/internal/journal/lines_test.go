package journal_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
)

func TestExportingAndImportingIsTheIdentity(t *testing.T) {
	j := fresh(t)
	ids := fullOf(t, j)
	sound(t, j)
	text := string(identity(t, j))
	for _, kind := range []string{"head", "round", "take", "attempt", "baseline", "forgotten", "plan", "text", "brew"} {
		if !strings.Contains(text, "\n{\""+kind+"\":") && !strings.HasPrefix(text, "{\""+kind+"\":") {
			t.Errorf("there is no line of a %s: the test does not test", kind)
		}
	}
	for _, kind := range []brew.EventKind{brew.EventStart, brew.EventMark, brew.EventUndo, brew.EventSkip, brew.EventZero,
		brew.EventNudge, brew.EventMoved, brew.EventNote, brew.EventStop, brew.EventFinish} {
		if !strings.Contains(text, `{"kind":"`+string(kind)+`"`) {
			t.Errorf("there is no %s: the test does not test", kind)
		}
	}
	for range 2 {
		done, err := j.Import(ctx, strings.NewReader(text))
		must(t, err)
		if done.Added != 0 || done.Grown != 0 || done.Known != len(ids)+2+1+2+1+1 {
			t.Errorf("importing what is there gives %+v", done)
		}
	}
	if again := string(exported(t, j)); again != text {
		t.Error("importing what is there changed something")
	}
	other := fresh(t)
	if done, err := other.Import(ctx, strings.NewReader(text)); err != nil || done.Added != len(ids)+2+1+2+1+1 {
		t.Errorf("importing into nothing gives %+v, %v", done, err)
	}
	for _, id := range ids {
		if a, b := load(t, j, id), load(t, other, id); !reflect.DeepEqual(a, b) {
			t.Errorf("brew %s is\n%+v, after importing\n%+v", id, a, b)
		}
	}
}

func TestAFilteredExportHasWhatItsBrewsNeed(t *testing.T) {
	j := fresh(t)
	fullOf(t, j)
	for name, c := range map[string]struct {
		filter        journal.Filter
		brews, rounds int
	}{
		"a recipe":   {journal.Filter{Recipe: "QUAYSIDE CONE"}, 5, 1},
		"a person":   {journal.Filter{Person: "Ada"}, 7, 1},
		"a kind":     {journal.Filter{Kind: drift.Demo}, 1, 0},
		"an end":     {journal.Filter{End: journal.CutOff}, 2, 0},
		"from a day": {journal.Filter{Since: morning.Add(5 * time.Hour)}, 3, 1},
		"nothing":    {journal.Filter{Person: "nobody"}, 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			var out bytes.Buffer
			must(t, j.Export(ctx, &out, c.filter))
			if n := strings.Count(out.String(), "\n{\"brew\":"); n != c.brews {
				t.Errorf("%d brews, want %d", n, c.brews)
			}
			if n := strings.Count(out.String(), "{\"round\":{"); n != c.rounds {
				t.Errorf("%d rounds, want %d", n, c.rounds)
			}
			other := fresh(t)
			if _, err := other.Import(ctx, bytes.NewReader(out.Bytes())); err != nil {
				t.Fatal(err)
			}
			var again bytes.Buffer
			must(t, other.Export(ctx, &again, c.filter))
			if !bytes.Equal(out.Bytes(), again.Bytes()) {
				t.Errorf("exported\n%s\nand after importing\n%s", out.String(), again.String())
			}
		})
	}
}

func TestFilesCanStandOneAfterTheOther(t *testing.T) {
	a, b := fresh(t), fresh(t)
	record(t, a, brewed(press(t), morning), follow(press(t)))
	record(t, b, brewed(press(t), morning.Add(time.Hour)), follow(press(t)))
	both := append(exported(t, a), exported(t, b)...)
	both = bytes.ReplaceAll(both, []byte("\n"), []byte("\r\n"))
	j := fresh(t)
	if done, err := j.Import(ctx, bytes.NewReader(both)); err != nil || done.Added != 2 {
		t.Errorf("%+v, %v", done, err)
	}
}

func TestARecordOnlyGrows(t *testing.T) {
	p := press(t)
	events := follow(p)
	short, long := brewed(p, morning), brewed(p, morning)
	long.ID = short.ID
	part, whole := fresh(t), fresh(t)
	record(t, part, short, events[:3])
	record(t, whole, long, events)
	less, more := exported(t, part), exported(t, whole)

	if done, err := whole.Import(ctx, bytes.NewReader(less)); err != nil || done.Known != 1 {
		t.Errorf("what has fewer events: %+v, %v", done, err)
	}
	if got := exported(t, whole); !bytes.Equal(got, more) {
		t.Error("a shorter record took events away")
	}
	if done, err := part.Import(ctx, bytes.NewReader(more)); err != nil || done.Grown != 1 {
		t.Errorf("what has more events: %+v, %v", done, err)
	}
	if got := exported(t, part); !bytes.Equal(got, more) {
		t.Errorf("grown it is\n%s, want\n%s", got, more)
	}
	sound(t, part)

	measured(t, whole, long.ID, morning.Add(time.Hour))
	if done, err := part.Import(ctx, bytes.NewReader(exported(t, whole))); err != nil || done.Grown != 1 {
		t.Errorf("what has readings: %+v, %v", done, err)
	}
	if got := load(t, part, long.ID); len(got.Readings) != 5 || len(got.Weights) != 2 {
		t.Errorf("got %+v", got)
	}
	sound(t, part)
}

// A brew that was taken up elsewhere comes back with the clock that it was
// taken up by, and what is older does not bring the old one back.
func TestAGrownBrewHasTheClockItGrewBy(t *testing.T) {
	here, there := fresh(t), fresh(t)
	r := cutOff(t, here, func(*journal.Record) {})
	old := exported(t, here)
	_, err := there.Import(ctx, bytes.NewReader(old))
	must(t, err)
	rec, _, err := there.TakeUp(ctx, r.ID, journal.Now{Wall: morning.Add(60 * time.Second), Elapsed: 20 * time.Second, Boot: "boot-2"})
	must(t, err)
	must(t, rec.End(ctx))
	want := journal.Clock{Kept: journal.Wall, Boot: "boot-2", Zero: -40 * time.Second}
	for name, c := range map[string]struct {
		into *journal.Journal
		text []byte
		done journal.Imported
	}{
		"it has grown": {here, exported(t, there), journal.Imported{Grown: 1}},
		"it is older":  {there, old, journal.Imported{Known: 1}},
	} {
		if done, err := c.into.Import(ctx, bytes.NewReader(c.text)); err != nil || done != c.done {
			t.Errorf("%s: %+v, %v", name, done, err)
		}
		if got := load(t, c.into, r.ID); got.Clock != want {
			t.Errorf("%s: its clock is %+v, want %+v", name, got.Clock, want)
		}
	}
	// With the same events another clock is a contradiction.
	other := bytes.Replace(old, []byte(`"boot":"boot-1"`), []byte(`"boot":"boot-9"`), 1)
	fourth := fresh(t)
	_, err = fourth.Import(ctx, bytes.NewReader(old))
	must(t, err)
	if _, err := fourth.Import(ctx, bytes.NewReader(other)); err == nil || !strings.Contains(err.Error(), `boot is "boot-1", not "boot-9"`) {
		t.Errorf("another clock: %v", err)
	}
}

func TestABrewUnderWayDoesNotGrowUnderItsHands(t *testing.T) {
	p := press(t)
	r := brewed(p, morning)
	whole, j := fresh(t), fresh(t)
	record(t, whole, r, follow(p))
	rec := begin(t, j, r)
	must(t, rec.Append(0, follow(p)[0]))
	_, err := j.Import(ctx, bytes.NewReader(exported(t, whole)))
	if !errors.Is(err, journal.ErrLive) {
		t.Errorf("got %v", err)
	}
	must(t, rec.End(ctx))
	if got := load(t, j, r.ID); len(got.Events) != 1 {
		t.Errorf("got %d events", len(got.Events))
	}
}

// TestEveryDamagedLineIsNamed damages one line of a good file after the other,
// and makes sure that it is named, with what is wrong, and nothing is taken.
func TestEveryDamagedLineIsNamed(t *testing.T) {
	source := fresh(t)
	fullOf(t, source)
	good := strings.Split(strings.TrimSuffix(string(exported(t, source)), "\n"), "\n")
	find := func(start string, nth int) int {
		for n, l := range good {
			if strings.HasPrefix(l, start) {
				if nth == 0 {
					return n
				}
				nth--
			}
		}
		t.Fatalf("no line %d that begins with %s", nth, start)
		return 0
	}
	head, plan, text := 0, find(`{"plan"`, 0), find(`{"text"`, 0)
	first, every, stopped := find(`{"brew"`, 0), find(`{"brew"`, 1), find(`{"brew"`, 2)
	inRound, inTake := find(`{"brew"`, 5), find(`{"brew"`, 7)
	round, take, attempt, closed, base := find(`{"round"`, 0), find(`{"take"`, 0), find(`{"attempt"`, 0), find(`{"attempt"`, 1), find(`{"baseline"`, 0)
	gone := find(`{"forgotten"`, 0)
	swap := func(old, new string) func(string) string {
		return func(l string) string {
			if !strings.Contains(l, old) {
				t.Fatalf("no %s in %s", old, l)
			}
			return strings.Replace(l, old, new, 1)
		}
	}
	whole := func(l string) func(string) string { return func(string) string { return l } }
	cases := map[string]struct {
		line   int
		damage func(string) string
		want   string
	}{
		"an empty line":              {first, whole(""), "the line is empty"},
		"a line of blanks":           {first, whole("   "), "the line is empty"},
		"no JSON":                    {first, whole("brew!"), "invalid character"},
		"a line that breaks off":     {first, func(l string) string { return l[:len(l)/2] }, "breaks off"},
		"something behind":           {first, func(l string) string { return l + "{}" }, "something stands behind it"},
		"a list":                     {first, whole("[1,2]"), "want a object"},
		"no kind of thing":           {first, whole("{}"), "0 things"},
		"an unknown kind of thing":   {first, swap(`{"brew"`, `{"brewing"`), `unknown field "brewing"`},
		"two things in a line":       {text, func(l string) string { return good[head][:len(good[head])-1] + "," + l[1:] }, "2 things"},
		"bytes that are no text":     {first, swap("Ada", "Ad\xff"), "UTF-8"},
		"a field too many":           {first, swap(`"person"`, `"colour":"red","person"`), `unknown field "colour"`},
		"a field missing":            {first, swap(`"person":"Ada",`, ""), "at byte"},
		"a field twice":              {first, swap(`"person":"Ada"`, `"person":"Bo","person":"Ada"`), "at byte"},
		"a field in another case":    {first, swap(`"person"`, `"Person"`), "at byte"},
		"a blank too many":           {first, swap(`:`, `: `), "at byte"},
		"a number for a text":        {first, swap(`"person":"Ada"`, `"person":7`), "brew.person is a number, want a string"},
		"a text for a number":        {first, swap(`"speed":1`, `"speed":"1"`), "brew.speed is a string, want a number"},
		"a fraction of a nanosecond": {first, swap(`"from_ns":0`, `"from_ns":0.5`), "want a whole number"},
		"a number too large":         {first, swap(`"zero_ns":5000000000000`, `"zero_ns":99999999999999999999`), "want a whole number"},
		"null for a list":            {first, swap(`"weights":[`, `"weights":null,"x":[`), "unknown field"},
		"no list of weights":         {stopped, swap(`"weights":[]`, `"weights":null`), "want a list"},
		"no list in a round":         {round, func(l string) string { return l[:strings.Index(l, `"events"`)] + `"events":null}}` }, "want a list"},
		"an id that is none":         {first, swap(`"id":"`, `"id":"x`), "want a UUIDv7"},
		"an id in capitals": {first, func(l string) string {
			i := strings.Index(l, `"id":"`) + 6
			return l[:i] + strings.ToUpper(l[i:i+36]) + l[i+36:]
		}, "want a UUIDv7"},
		"an id of another version":        {first, func(l string) string { i := strings.Index(l, `"id":"`) + 6; return l[:i+14] + "4" + l[i+15:] }, "want a UUIDv7"},
		"an unknown kind of brew":         {first, swap(`"kind":"service"`, `"kind":"fun"`), `kind "fun", want "service", "rehearsal", "practice" or "demo"`},
		"no speed":                        {first, swap(`"speed":1`, `"speed":0`), "speed 0, want more than 0"},
		"a start before zero":             {first, swap(`"from_ns":0`, `"from_ns":-1`), "from -1 ns"},
		"an unknown policy":               {first, swap(`"marks":"asked"`, `"marks":"some"`), `marks "some"`},
		"another recipe than the plan's":  {first, swap(`"recipe":"Quayside press"`, `"recipe":"Quayside cone"`), `but its plan is of "Quayside press"`},
		"another version than the plan's": {first, swap(`"version":"`, `"version":"0`), "but its plan is of"},
		"a time that is none":             {first, swap(`"start":"2026-06-12T08`, `"start":"2026-06-12T28`), "want RFC 3339"},
		"a time without an offset":        {first, swap(`+02:00"`, `"`), "want RFC 3339"},
		"a time written otherwise":        {first, swap(`.123456789+02:00"`, `.1234567890+02:00"`), "want it written"},
		"an unknown way of the clock":     {first, swap(`"kept":"boottime"`, `"kept":"sundial"`), `kept "sundial"`},
		"a kettle that is no kettle":      {every, swap(`"kettle_c":95.5`, `"kettle_c":955`), "kettle at 955 °C"},
		"a negative lane":                 {first, swap(`"lane":0`, `"lane":-1`), "lane -1"},
		"a plan that is not there":        {first, swap(`"plan":"`, `"plan":"0`), "does not stand above it"},
		"a text that is not there":        {first, swap(`"text":"`, `"text":"0`), "does not stand above it"},
		"a round that is not there":       {inRound, swap(`"round":"01`, `"round":"02`), "does not stand above it"},
		"a take that is not there":        {inTake, swap(`"take":"01`, `"take":"02`), "does not stand above it"},
		"an end that is not its events'":  {first, swap(`"end":"finished"`, `"end":"stopped"`), "but its events give"},
		"an end at another moment":        {first, swap(`"end_ns":1`, `"end_ns":2`), "but its events give"},
		"another reason":                  {stopped, swap(`"why":"spilt`, `"why":"spoilt`), "but its events give"},
		"an unknown event":                {first, swap(`{"kind":"mark"`, `{"kind":"sip"`), `event of kind "sip"`},
		"an unknown source":               {first, swap(`"source":"key"`, `"source":"voice"`), `event from "voice"`},
		"an event that does not follow":   {first, swap(`{"kind":"start","at_ns":0,"source":"key"}`, `{"kind":"undo","at_ns":0,"source":"key"}`), "it has not started"},
		"an event in no lane":             {inRound, swap(`"lane":0,"order"`, `"lane":-2,"order"`), "lane -2"},
		"an unknown reading":              {first, swap(`"what":"strength"`, `"what":"smell"`), `reading of "smell"`},
		"a taste with a value":            {first, swap(`"what":"taste","value":null`, `"what":"taste","value":3`), "a taste has no value"},
		"a correction of nothing": {first, func(l string) string {
			i := strings.LastIndex(l, `"replaces":"`) + 12
			return l[:i+30] + "abcdef" + l[i+36:]
		}, "which is not there"},
		"a weight at no beat":           {first, swap(`"beat":"first pour, end"`, `"beat":""`), "the weight names no beat"},
		"a plan that was changed":       {plan, swap(`"Dose":14000`, `"Dose":15000`), "but its content gives"},
		"a plan of a newer schema":      {plan, swap(`"schema":1`, `"schema":2`), "plan of schema 2, want 1"},
		"a text that was changed":       {text, swap("as written", "as rewritten"), "but its content gives"},
		"no head":                       {head, whole(good[plan]), "no head"},
		"the head of something else":    {head, swap("barline journal", "another journal"), `want "barline journal"`},
		"a newer form of lines":         {head, swap(`"schema":1`, `"schema":2`), "newer barline"},
		"an older form than any":        {head, swap(`"schema":1`, `"schema":0`), "schema 0"},
		"a round of no kind":            {round, swap(`"kind":"bar"`, `"kind":"pub"`), `kind "pub"`},
		"an event of no kind":           {round, swap(`"kind":"order placed"`, `"kind":""`), "without a kind"},
		"a take of no routine":          {take, swap(`"routine":"Quayside final"`, `"routine":""`), "names no routine"},
		"an attempt of no brews":        {attempt, swap(`"brews":10`, `"brews":0`), "attempt of 0 brews"},
		"an open attempt with a result": {attempt, swap(`"result":""`, `"result":"passed"`), "an attempt that is open"},
		"an unknown result":             {closed, swap(`"result":"failed"`, `"result":"so-so"`), `result "so-so"`},
		"a trace of no version":         {gone, swap(planOf(t, pressed).Version, ""), "names no version"},
		"a trace of no brew":            {gone, swap(`{"id":"`, `{"id":"x`), "id"},
		"limits out of order":           {base, swap(`"low":-1500000000`, `"low":3000000000`), "want them in order"},
	}
	if len(cases) < 30 {
		t.Fatalf("only %d kinds of damage", len(cases))
	}
	j := fresh(t)
	before := exported(t, j)
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			lines := append([]string(nil), good...)
			lines[c.line] = c.damage(lines[c.line])
			done, err := j.Import(ctx, strings.NewReader(strings.Join(lines, "\n")+"\n"))
			if done != (journal.Imported{}) {
				t.Errorf("it is said to have taken %+v", done)
			}
			var named *journal.LineError
			if !errors.As(err, &named) {
				t.Fatalf("got %v", err)
			}
			if named.Line != c.line+1 || !strings.HasPrefix(err.Error(), fmt.Sprintf("line %d: ", c.line+1)) {
				t.Errorf("line %d is named, want %d: %v", named.Line, c.line+1, err)
			}
			if !strings.Contains(err.Error(), c.want) {
				t.Errorf("it says %q, want %q", err, c.want)
			}
			if after := exported(t, j); !bytes.Equal(before, after) {
				t.Error("something was taken")
			}
		})
	}
	t.Run("no line at all", func(t *testing.T) {
		if _, err := j.Import(ctx, strings.NewReader("")); err == nil || err.Error() != "line 1: the file is empty" {
			t.Errorf("got %v", err)
		}
	})
	t.Run("a line without end", func(t *testing.T) {
		endless := strings.NewReader(good[0] + "\n" + strings.Repeat("x", journal.LongestLine+1))
		if _, err := j.Import(ctx, endless); err == nil || !strings.HasPrefix(err.Error(), "line 2: longer than 16 MB") {
			t.Errorf("got %v", err)
		}
	})
}

func TestTheSameIDWithOtherContentIsAnError(t *testing.T) {
	j := fresh(t)
	fullOf(t, j)
	before := exported(t, j)
	for name, c := range map[string]struct{ old, new string }{
		"another person":           {`"person":"Ada","recipe":"Quayside press"`, `"person":"Eve","recipe":"Quayside press"`},
		"another lot":              {`"lot":"12"`, `"lot":"13"`},
		"another start":            {`"start":"2026-06-12T08:00`, `"start":"2026-06-12T08:01`},
		"another boot":             {`"boot":"boot-1"`, `"boot":"boot-2"`},
		"a mark at another moment": {`"at_ns":8123456789,`, `"at_ns":8123456788,`},
		"a weight that is another": {`"weight_mg":50127`, `"weight_mg":50128`},
		"another reading":          {`"value":1.36`, `"value":1.37`},
		"another weight at a beat": {`"mass_mg":50100`, `"mass_mg":50101`},
		"another round":            {`"name":"early"`, `"name":"late"`},
		"another event in a round": {`"text":"two cones"`, `"text":"three cones"`},
		"another take":             {`"section":"opening"`, `"section":"close"`},
		"another attempt":          {`"brews":10`, `"brews":12`},
		"another result":           {`"result":"failed"`, `"result":"passed"`},
		"another baseline":         {`"centre":250000000`, `"centre":260000000`},
	} {
		t.Run(name, func(t *testing.T) {
			if !bytes.Contains(before, []byte(c.old)) {
				t.Fatalf("no %s", c.old)
			}
			_, err := j.Import(ctx, bytes.NewReader(bytes.Replace(before, []byte(c.old), []byte(c.new), 1)))
			if err == nil || !strings.Contains(err.Error(), "the id is there already with other content") {
				t.Errorf("got %v", err)
			}
			if after := exported(t, j); !bytes.Equal(before, after) {
				t.Error("something was changed")
			}
		})
	}
}

func TestAReadingOfAnotherBrewIsNotTakenForItsOwn(t *testing.T) {
	j := fresh(t)
	ids := fullOf(t, j)
	r := load(t, j, ids[0]).Readings[0]
	if err := j.AddReading(ctx, ids[2], r); err == nil || !strings.Contains(err.Error(), "other content") {
		t.Errorf("got %v", err)
	}
	if err := j.AddReading(ctx, idAt(morning), journal.Reading{What: journal.Taste, Text: "x", Taken: morning}); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("got %v", err)
	}
}

func TestWhatIsImportedIsFoldedAnewNotBelieved(t *testing.T) {
	j := fresh(t)
	fullOf(t, j)
	other := fresh(t)
	if _, err := other.Import(ctx, bytes.NewReader(exported(t, j))); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{j.Path(), other.Path()} {
		if n := count(t, path, "SELECT count(*) FROM beats"); n == 0 {
			t.Error("no beats")
		}
	}
	rows := func(path string) (out []string) {
		db := raw(t, path)
		defer db.Close()
		rows, err := db.Query("SELECT id, beat, key, status, coalesce(drift_ns, 0), carried_ns, coalesce(slip_ns, 0) FROM beats JOIN brews ON brews.n = beats.brew ORDER BY id, beat")
		must(t, err)
		defer rows.Close()
		for rows.Next() {
			var id, key, status string
			var beat, drift, carried, slip int64
			must(t, rows.Scan(&id, &beat, &key, &status, &drift, &carried, &slip))
			if status == "marked" && drift != carried+slip {
				t.Errorf("%s, %s: drift %d is not carried %d and slip %d", id, key, drift, carried, slip)
			}
			out = append(out, fmt.Sprint(id, beat, key, status, drift, carried, slip))
		}
		return out
	}
	if a, b := rows(j.Path()), rows(other.Path()); !reflect.DeepEqual(a, b) {
		t.Errorf("beats\n%s, after importing\n%s", strings.Join(a, "\n"), strings.Join(b, "\n"))
	}
}

// TestThePlansFormIsPinned fails when the fields of a plan change: then the
// number of its schema must, and plans of the old one must still be read.
func TestThePlansFormIsPinned(t *testing.T) {
	text, err := json.Marshal(struct {
		Plan  brew.Plan
		Cue   brew.Cue
		Beat  brew.Beat
		Chore brew.Chore
	}{})
	must(t, err)
	golden := fmt.Sprintf("testdata/plan%d.json", journal.PlanSchema)
	if _, err := os.Stat(golden); err != nil && os.Getenv("BARLINE_UPDATE") != "" {
		must(t, os.WriteFile(golden, append(text, '\n'), 0o644))
	}
	want, err := os.ReadFile(golden)
	must(t, err)
	if string(text)+"\n" != string(want) {
		t.Errorf("a plan of schema %d is written\n%s\nwant\n%s\nRaise PlanSchema and keep reading the old form.", journal.PlanSchema, text, want)
	}
}
