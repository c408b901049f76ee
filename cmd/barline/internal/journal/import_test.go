package journal_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

// brokenFile is a file that breaks off with an error of the system.
type brokenFile struct {
	io.Reader
	err error
}

func (f brokenFile) Read(p []byte) (int, error) {
	if n, err := f.Reader.Read(p); err != io.EOF {
		return n, err
	}
	return 0, f.err
}

// A file that cannot be read is not the journal's fault.
func TestAFileThatCannotBeReadIsNotTheJournal(t *testing.T) {
	j := fresh(t)
	record(t, j, brewed(press(t), morning), follow(press(t)))
	text := exported(t, j)
	folder, err := os.Open(t.TempDir())
	must(t, err)
	defer folder.Close()
	for name, from := range map[string]io.Reader{
		"a folder":          folder,
		"a disk that fails": brokenFile{bytes.NewReader(text[:len(text)/2]), &os.PathError{Op: "read", Path: "x", Err: errors.New("input/output error")}},
	} {
		_, err := fresh(t).Import(ctx, from)
		var unread *journal.ReadError
		var line *journal.LineError
		var fault *journal.Fault
		if !errors.As(err, &unread) || errors.As(err, &line) || errors.As(err, &fault) {
			t.Errorf("%s: %T %v", name, err, err)
		}
	}
}

// A rescue that was caught among other messages is taken as it was caught, and
// what was left out is told.
func TestARescueAmongMessagesIsTaken(t *testing.T) {
	a, b := fresh(t), fresh(t)
	record(t, a, brewed(press(t), morning), follow(press(t)))
	record(t, b, brewed(cone(t), morning), follow(cone(t)))
	one, two := string(exported(t, a)), string(exported(t, b))
	begins, ends := journal.RescueBegins+"\n", journal.RescueEnds+"\n"
	for name, c := range map[string]struct {
		text              string
		added, left, line int
		want              string
	}{
		"one among messages":         {"error: the disk is full\nhint: make room\n\n" + begins + one + ends + "more\n", 1, 4, 0, ""},
		"at once":                    {begins + one + ends, 1, 0, 0, ""},
		"two":                        {"error: full\n" + begins + one + ends + "error: again\n" + begins + two + ends, 2, 2, 0, ""},
		"two in one":                 {begins + one + two + ends, 2, 0, 0, ""},
		"with another end of lines":  {strings.ReplaceAll("error: full\n"+begins+one+ends, "\n", "\r\n"), 1, 1, 0, ""},
		"it breaks off":              {"error: full\n" + begins + one, 0, 0, 3 + strings.Count(one, "\n"), "the rescue breaks off"},
		"a line of it is damaged":    {"error: full\n" + begins + strings.Replace(one, `"speed":1`, `"speed":0`, 1) + ends, 0, 0, 2 + strings.Count(one, "\n"), "speed 0"},
		"it has no head":             {begins + one[strings.Index(one, "\n")+1:] + ends, 0, 0, 2, "no head"},
		"messages without a rescue":  {"error: full\nhint: make room\n", 0, 0, 1, "invalid character"},
		"lines with a message after": {one + "error: full\n", 0, 0, 1 + strings.Count(one, "\n"), "invalid character"},
		"marks within lines":         {one + begins + two + ends, 0, 0, 1 + strings.Count(one, "\n"), "invalid character"},
	} {
		j := fresh(t)
		got, err := j.Import(ctx, strings.NewReader(c.text))
		var line *journal.LineError
		switch {
		case c.line == 0 && (err != nil || got != journal.Imported{Added: c.added, Left: c.left}):
			t.Errorf("%s: %+v, %v", name, got, err)
		case c.line != 0 && (!errors.As(err, &line) || line.Line != c.line || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: %v, want line %d: %s", name, err, c.line, c.want)
		}
		if examined := journal.Examine(strings.NewReader(c.text)); fmt.Sprint(examined) != fmt.Sprint(err) {
			t.Errorf("%s: examining says %v, importing %v", name, examined, err)
		}
	}
}

// What contradicts is named: which thing, and each field with both values.
func TestAContradictionIsSpeltOut(t *testing.T) {
	j := fresh(t)
	ids := fullOf(t, j)
	text := string(exported(t, j))
	reading := load(t, j, ids[0]).Readings[0]
	for name, c := range map[string]struct{ old, new, want string }{
		"two fields of a brew":  {`"marks":"asked","person":"Ada"`, `"marks":"asked","person":"Eve"`, `^line \d+: brew [0-9a-f-]{8,20}: the id is there already with other content: lot is "12", not "13"; person is "Ada", not "Eve"$`},
		"a reading":             {`"value":1.36`, `"value":1.37`, `^line \d+: brew [0-9a-f-]{8,20}: reading ` + reading.ID + `: the id is there already with other content: value is 1.36, not 1.37$`},
		"an event":              {`"at_ns":8123456789,`, `"at_ns":8123456788,`, `^line \d+: brew [0-9a-f-]{8,20}: the id is there already with other content: event \d+ is mark at `},
		"what is a long text":   {`"name":"early"`, `"name":"` + strings.Repeat("late ", 40) + `"`, `^line \d+: round [0-9a-f-]{36}: .*: name is "early", not "(late ){7}late…$`},
		"what was not there":    {`"kettle_c":null`, `"kettle_c":95`, `: kettle_c is null, not 95$`},
		"a baseline's own name": {`"centre":250000000`, `"centre":260000000`, `: centre is 250000000, not 260000000$`},
	} {
		if !strings.Contains(text, c.old) {
			t.Fatalf("%s: no %s", name, c.old)
		}
		changed := strings.Replace(text, c.old, c.new, 1)
		if name == "two fields of a brew" {
			changed = strings.Replace(changed, `"lot":"12"`, `"lot":"13"`, 1)
		}
		if _, err := j.Import(ctx, strings.NewReader(changed)); err == nil || !regexp.MustCompile(c.want).MatchString(err.Error()) || len(err.Error()) > 300 {
			t.Errorf("%s: %v, want %s", name, err, c.want)
		}
	}
}

// altered returns an export in which the second pour of the plan is a second
// later, and everything that is derived from that as it should be.
func altered(t testing.TB, r journal.Record) []byte {
	t.Helper()
	plan := *r.Plan
	plan.Cues, plan.Beats = append([]brew.Cue{}, plan.Cues...), append([]brew.Beat{}, plan.Beats...)
	for i := range plan.Cues {
		if c := &plan.Cues[i]; c.Start == 36*time.Second {
			c.Start += time.Second
			plan.Beats[c.StartBeat].Due += time.Second
		}
	}
	r.Plan = &plan
	r.ID = idAt(r.Start)
	forged := fresh(t)
	record(t, forged, r, r.Events)
	if got := load(t, forged, r.ID); got.Version != r.Version {
		t.Fatalf("the version is %s, want the old one, %s: the test does not test", got.Version, r.Version)
	}
	sound(t, forged) // alone it is without a contradiction
	return exported(t, forged)
}

// A plan whose times were altered under its old version is told from the true
// one, also where another dose or another choice of marks was brewed.
func TestThePlansOfAVersionAreAlike(t *testing.T) {
	j := fresh(t)
	r := brewed(press(t), morning)
	id := record(t, j, r, follow(r.Plan))
	for n, p := range []*brew.Plan{press(t).WithMarks(brew.MarksAll), press(t).WithMarks(brew.MarksNone), scaled(t)} {
		other := brewed(p, morning.Add(time.Duration(n+1)*time.Hour))
		record(t, j, other, follow(p))
	}
	sound(t, j)
	forged := altered(t, load(t, j, id))
	before := exported(t, j)
	_, err := j.Import(ctx, bytes.NewReader(forged))
	var line *journal.LineError
	if !errors.As(err, &line) || line.Line != 2 || !regexp.MustCompile(`in two plans of version [0-9a-f]+ cue 2, second pour, is at 0:36 to 0:52 and at 0:37 to 0:52$`).MatchString(err.Error()) {
		t.Errorf("importing it: %v", err)
	}
	if !bytes.Equal(before, exported(t, j)) {
		t.Error("something was taken")
	}
	// In one file with the true one it is found without a journal.
	if err := journal.Examine(bytes.NewReader(append(before, forged...))); !errors.As(err, &line) {
		t.Errorf("examining both: %v", err)
	}
	// Where it came in by another way, verify tells it.
	slyly(t, j, forged)
	findings, _, err := j.Verify(ctx)
	must(t, err)
	if len(findings) != 1 || findings[0].Check != journal.CheckPlan || !strings.Contains(findings[0].Detail, "at 0:37") {
		t.Errorf("verify finds %v", findings)
	}
}

// scaled is the press for half the dose.
func scaled(t testing.TB) *brew.Plan {
	t.Helper()
	half, err := pressed.Scale(7*brew.Gram, brew.Bar{})
	must(t, err)
	p := planOf(t, half)
	if p.Version != press(t).Version {
		t.Fatal("another dose is another version: the test does not test")
	}
	return p
}

// slyly writes the plan and the brew of an export into a journal's tables, as
// a program without the check would.
func slyly(t testing.TB, j *journal.Journal, text []byte) {
	t.Helper()
	other := open(t, filepath.Join(t.TempDir(), "other.db"))
	_, err := other.Import(ctx, bytes.NewReader(text))
	must(t, err)
	var l struct{ Brew struct{ ID string } }
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	must(t, json.Unmarshal([]byte(lines[len(lines)-1]), &l))
	r := load(t, other, l.Brew.ID)
	record(t, j, r, r.Events)
}
