package journal_test

import (
	"errors"
	"reflect"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

// cutOff leaves a brew of the press with three events behind, of which the last
// is at about 0:52, and returns its record. The press is planned to end at 2:13.
func cutOff(t *testing.T, j *journal.Journal, change func(*journal.Record)) journal.Record {
	t.Helper()
	r := brewed(press(t), morning)
	change(&r)
	record(t, j, r, follow(r.Plan)[:3])
	return load(t, j, r.ID)
}

func TestABrewThatWasCutOffIsTakenUp(t *testing.T) {
	same := func(after time.Duration) journal.Now {
		return journal.Now{Wall: morning.Add(after), Elapsed: 5000*time.Second + after, Boot: "boot-1"}
	}
	other := func(after time.Duration) journal.Now {
		return journal.Now{Wall: morning.Add(after), Elapsed: 30 * time.Second, Boot: "boot-2"}
	}
	wallSetBack := same(70 * time.Second)
	wallSetBack.Wall = wallSetBack.Wall.Add(-time.Hour)
	for name, c := range map[string]struct {
		change func(*journal.Record)
		now    journal.Now
		at     time.Duration
		by     journal.Kept
		kept   journal.Kept
		err    error
		why    string
	}{
		"within the same boot, by its clock":            {nil, same(70 * time.Second), 70 * time.Second, journal.Boottime, journal.Boottime, nil, ""},
		"the wall clock set back does not matter there": {nil, wallSetBack, 70 * time.Second, journal.Boottime, journal.Boottime, nil, ""},
		"after a new boot, by the wall clock":           {nil, other(70 * time.Second), 70 * time.Second, journal.Wall, journal.Wall, nil, ""},
		"where no boot is known, by the wall clock": {func(r *journal.Record) { r.Clock = journal.Clock{Kept: journal.Monotonic, Zero: time.Hour} },
			journal.Now{Wall: morning.Add(80 * time.Second), Elapsed: 2 * time.Hour}, 80 * time.Second, journal.Wall, journal.Wall, nil, ""},
		"two minutes behind its planned end":    {nil, same(pressEnds + 2*time.Minute), pressEnds + 2*time.Minute, journal.Boottime, journal.Boottime, nil, ""},
		"a moment later":                        {nil, same(pressEnds + 2*time.Minute + 1), 0, "", "", journal.ErrTooLate, "it should have ended more than 2 min ago"},
		"the wall clock set back after a boot":  {nil, other(10 * time.Second), 0, "", "", journal.ErrTooLate, "set back"},
		"at twice the speed":                    {func(r *journal.Record) { r.Speed = 2 }, same(40 * time.Second), 80 * time.Second, journal.Boottime, journal.Boottime, nil, ""},
		"at twice the speed, by the wall clock": {func(r *journal.Record) { r.Speed = 2 }, other(40 * time.Second), 80 * time.Second, journal.Wall, journal.Wall, nil, ""},
		"as a later lane of a round":            {func(r *journal.Record) { r.StartAt, r.Clock.Zero = 10*time.Second, 4990*time.Second }, same(70 * time.Second), 80 * time.Second, journal.Boottime, journal.Boottime, nil, ""},
		"as a later lane, by the wall clock":    {func(r *journal.Record) { r.StartAt = 10 * time.Second }, other(70 * time.Second), 80 * time.Second, journal.Wall, journal.Wall, nil, ""},
		"a day later":                           {nil, same(24 * time.Hour), 0, "", "", journal.ErrTooLate, "ago"},
	} {
		t.Run(name, func(t *testing.T) {
			j := fresh(t)
			if c.change == nil {
				c.change = func(*journal.Record) {}
			}
			before := cutOff(t, j, c.change)
			offered, err := j.Interrupted(ctx, c.now, 10)
			if err != nil || len(offered) != 1 || offered[0].ID != before.ID || !errors.Is(offered[0].Err, c.err) || (c.err == nil) != (offered[0].Err == nil) {
				t.Fatalf("offered %+v, %v", offered, err)
			}
			rec, in, err := j.TakeUp(ctx, before.ID, c.now)
			if c.err != nil {
				if !errors.Is(err, c.err) || !strings.Contains(err.Error(), c.why) {
					t.Errorf("got %v, want %v: %s", err, c.err, c.why)
				}
				if after := load(t, j, before.ID); !reflect.DeepEqual(before, after) {
					t.Error("it was changed")
				}
				return
			}
			must(t, err)
			if in.At != c.at || in.By != c.by || in.Last != before.Events[2].At {
				t.Errorf("at %s by %s, last %s", in.At, in.By, in.Last)
			}
			note := rec.Record().Events[3]
			if note.Kind != brew.EventNote || note.At != c.at || note.Source != brew.FromClock || !strings.HasPrefix(note.Text, "taken up again ") {
				t.Errorf("the note is %+v", note)
			}
			if by := map[journal.Kept]string{journal.Boottime: "machine's own clock", journal.Wall: "clock on the wall"}[c.by]; !strings.Contains(note.Text, by) {
				t.Errorf("the note %q does not say %q", note.Text, by)
			}
			mark := brew.Event{Kind: brew.EventMark, At: 100 * time.Second, Source: brew.FromKey}
			must(t, rec.Append(4, mark))
			must(t, rec.Append(5, brew.Event{Kind: brew.EventFinish, At: 140 * time.Second, Source: brew.FromClock}))
			must(t, rec.End(ctx))
			after := load(t, j, before.ID)
			if len(after.Events) != 6 || !reflect.DeepEqual(after.Events[:3], before.Events) || after.Events[4] != mark || after.End != journal.Finished {
				t.Errorf("got %+v", after)
			}
			if after.Clock.Kept != c.kept {
				t.Errorf("its clock was kept by %s, want %s", after.Clock.Kept, c.kept)
			}
			sound(t, j)
			identity(t, j)
			if _, _, err := j.TakeUp(ctx, before.ID, c.now); !errors.Is(err, journal.ErrEnded) {
				t.Errorf("taking up what has ended: %v", err)
			}
		})
	}
}

// pressEnds is the planned end of the press.
const pressEnds = 133 * time.Second

func TestThePressEndsWhereTheTestsSay(t *testing.T) {
	if end := press(t).End; end != pressEnds {
		t.Errorf("it ends at %s", end)
	}
}

func TestABrewIsTakenUpAgainAfterItWasTakenUpByTheWall(t *testing.T) {
	j := fresh(t)
	r := cutOff(t, j, func(*journal.Record) {})
	rec, _, err := j.TakeUp(ctx, r.ID, journal.Now{Wall: morning.Add(60 * time.Second), Elapsed: 20 * time.Second, Boot: "boot-2"})
	must(t, err)
	must(t, rec.End(ctx))
	// Within the second boot its clock is exact, although the wall clock lies.
	rec, in, err := j.TakeUp(ctx, r.ID, journal.Now{Wall: morning.Add(9 * time.Hour), Elapsed: 35 * time.Second, Boot: "boot-2"})
	must(t, err)
	must(t, rec.End(ctx))
	if in.At != 75*time.Second || in.By != journal.Boottime {
		t.Errorf("at %s by %s", in.At, in.By)
	}
	if got := load(t, j, r.ID); got.Clock.Kept != journal.Wall {
		t.Errorf("it says that its clock was kept by %s all the time", got.Clock.Kept)
	}
}

// The clock that is begun anew by the wall runs at the brew's speed as well.
func TestTheNewZeroKeepsTheSpeed(t *testing.T) {
	j := fresh(t)
	r := cutOff(t, j, func(r *journal.Record) { r.Speed = 2 })
	rec, in, err := j.TakeUp(ctx, r.ID, journal.Now{Wall: morning.Add(40 * time.Second), Elapsed: 300 * time.Second, Boot: "boot-2"})
	must(t, err)
	must(t, rec.End(ctx))
	if zero := rec.Record().Clock.Zero; in.At != 80*time.Second || zero != 260*time.Second {
		t.Errorf("at %s its zero is at %s, want 80 s and 260 s", in.At, zero)
	}
	rec, in, err = j.TakeUp(ctx, r.ID, journal.Now{Wall: morning.Add(9 * time.Hour), Elapsed: 310 * time.Second, Boot: "boot-2"})
	must(t, err)
	must(t, rec.End(ctx))
	if in.At != 100*time.Second {
		t.Errorf("ten seconds later it stands at %s, want 1:40", in.At)
	}
}

func TestWhatHadNotStartedIsNotTakenUp(t *testing.T) {
	j := fresh(t)
	r := brewed(press(t), morning)
	record(t, j, r, nil)
	if _, _, err := j.TakeUp(ctx, r.ID, journal.Now{Wall: morning, Elapsed: 5000 * time.Second, Boot: "boot-1"}); !errors.Is(err, journal.ErrTooLate) {
		t.Errorf("got %v", err)
	}
	if _, _, err := j.TakeUp(ctx, idAt(morning), journal.Now{}); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("got %v", err)
	}
}
