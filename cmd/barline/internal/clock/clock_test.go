package clock_test

import (
	"sync"
	"testing"
	"time"

	"barline/cmd/barline/internal/clock"
)

func place(t *testing.T, name string) *time.Location {
	t.Helper()
	l, err := time.LoadLocation(name)
	if err != nil {
		t.Skipf("SKIPPED, NOT TESTED: no time zones here: %v", err)
	}
	return l
}

// TestElapsedTimeIsWhatPassed lets something happen to the clock on the wall in
// the middle of ten minutes, and looks at both clocks.
func TestElapsedTimeIsWhatPassed(t *testing.T) {
	paris, york, lordHowe := place(t, "Europe/Paris"), place(t, "America/New_York"), place(t, "Australia/Lord_Howe")
	type step func(*clock.Fake)
	set := func(wall time.Time) step { return func(f *clock.Fake) { f.SetWall(wall) } }
	nothing := func(*clock.Fake) {}
	for name, c := range map[string]struct {
		start  time.Time
		happen step
		shows  string // after ten minutes
		begun  string // what the start is shown as, from the end
	}{
		"nothing": {time.Date(2026, 6, 12, 8, 0, 0, 0, paris), nothing,
			"2026-06-12T08:10:00+02:00", "2026-06-12T08:00:00+02:00"},
		"set back by an hour": {time.Date(2026, 6, 12, 8, 0, 0, 0, paris), set(time.Date(2026, 6, 12, 7, 5, 0, 0, paris)),
			"2026-06-12T07:10:00+02:00", "2026-06-12T07:00:00+02:00"},
		"set forward by a day": {time.Date(2026, 6, 12, 8, 0, 0, 0, paris), set(time.Date(2026, 6, 13, 8, 5, 0, 0, paris)),
			"2026-06-13T08:10:00+02:00", "2026-06-13T08:00:00+02:00"},
		"daylight saving begins": {time.Date(2026, 3, 29, 1, 55, 0, 0, paris), nothing,
			"2026-03-29T03:05:00+02:00", "2026-03-29T01:55:00+01:00"},
		"daylight saving ends": {time.Date(2026, 10, 25, 0, 55, 0, 0, time.UTC).In(paris), nothing,
			"2026-10-25T02:05:00+01:00", "2026-10-25T02:55:00+02:00"},
		"daylight saving ends elsewhere": {time.Date(2026, 11, 1, 5, 55, 0, 0, time.UTC).In(york), nothing,
			"2026-11-01T01:05:00-05:00", "2026-11-01T01:55:00-04:00"},
		"by half an hour": {time.Date(2026, 10, 3, 15, 25, 0, 0, time.UTC).In(lordHowe), nothing,
			"2026-10-04T02:35:00+11:00", "2026-10-04T01:55:00+10:30"},
		"the year ends": {time.Date(2026, 12, 31, 23, 55, 0, 0, paris), nothing,
			"2027-01-01T00:05:00+01:00", "2026-12-31T23:55:00+01:00"},
		"a leap day": {time.Date(2028, 2, 28, 23, 55, 0, 0, paris), nothing,
			"2028-02-29T00:05:00+01:00", "2028-02-28T23:55:00+01:00"},
	} {
		for _, kept := range []clock.Kept{clock.Boottime, clock.Monotonic} {
			t.Run(name+", "+string(kept), func(t *testing.T) {
				f := clock.NewFake(c.start, kept, "boot")
				before := f.Now()
				f.Advance(5 * time.Minute)
				c.happen(f)
				f.Advance(5 * time.Minute)
				after := f.Now()
				if d := after.Since(before); d != 10*time.Minute {
					t.Errorf("%s passed, want 10 min", d)
				}
				if got := after.Wall.Format(time.RFC3339); got != c.shows {
					t.Errorf("the wall shows %s, want %s", got, c.shows)
				}
				if got := after.WallAt(before.Elapsed).Format(time.RFC3339); got != c.begun {
					t.Errorf("the start was at %s, want %s", got, c.begun)
				}
				if s, slept := after.SleptSince(before); slept && (kept == clock.Boottime || s.Certain) {
					t.Errorf("it is said that %s", s)
				}
			})
		}
	}
}

func TestASleepIsTold(t *testing.T) {
	at := time.Date(2026, 6, 12, 8, 0, 0, 0, time.UTC)
	sleep := func(d time.Duration) func(*clock.Fake) { return func(f *clock.Fake) { f.Sleep(d) } }
	ahead := func(d time.Duration) func(*clock.Fake) {
		return func(f *clock.Fake) { f.SetWall(f.Now().Wall.Add(d)) }
	}
	for name, c := range map[string]struct {
		kept   clock.Kept
		happen func(*clock.Fake)
		passed time.Duration
		says   string
	}{
		"no sleep":                               {clock.Boottime, sleep(0), 0, ""},
		"as short as noise":                      {clock.Boottime, sleep(250 * time.Millisecond), 250 * time.Millisecond, ""},
		"just longer":                            {clock.Boottime, sleep(251 * time.Millisecond), 251 * time.Millisecond, "the machine slept for 0.3 s"},
		"half a minute":                          {clock.Boottime, sleep(31 * time.Second), 31 * time.Second, "the machine slept for 31 s"},
		"over lunch":                             {clock.Boottime, sleep(62 * time.Minute), 62 * time.Minute, "the machine slept for 62 min"},
		"a wall clock set forward is none":       {clock.Boottime, ahead(time.Hour), 0, ""},
		"a wall clock set back is none":          {clock.Boottime, ahead(-time.Hour), 0, ""},
		"without that clock, a short one":        {clock.Monotonic, sleep(2 * time.Second), 0, ""},
		"without that clock, just longer":        {clock.Monotonic, sleep(2100 * time.Millisecond), 0, "the machine slept for 2.1 s, or its clock was set forward: it cannot be told apart here"},
		"without that clock, a longer one":       {clock.Monotonic, sleep(31 * time.Second), 0, "the machine slept for 31 s, or its clock was set forward: it cannot be told apart here"},
		"without that clock, a wall set forward": {clock.Monotonic, ahead(31 * time.Second), 0, "the machine slept for 31 s, or its clock was set forward: it cannot be told apart here"},
		"without that clock, a wall set back":    {clock.Monotonic, ahead(-31 * time.Second), 0, ""},
	} {
		t.Run(name, func(t *testing.T) {
			f := clock.NewFake(at, c.kept, "")
			before := f.Now()
			f.Advance(time.Minute)
			c.happen(f)
			after := f.Now()
			if got := after.Since(before); got != time.Minute+c.passed {
				t.Errorf("%s passed, want %s", got, time.Minute+c.passed)
			}
			s, slept := after.SleptSince(before)
			if slept != (c.says != "") || slept && s.String() != c.says {
				t.Errorf("%v: %q, want %q", slept, s, c.says)
			}
			if slept && s.Certain != (c.kept == clock.Boottime) {
				t.Errorf("certain: %v", s.Certain)
			}
			f.Advance(time.Minute)
			if s, again := f.Now().SleptSince(after); again {
				t.Errorf("it is told again: %q", s)
			}
		})
	}
}

func TestARebootBeginsAnew(t *testing.T) {
	f := clock.NewFake(time.Date(2026, 6, 12, 8, 0, 0, 0, time.UTC), clock.Boottime, "one")
	before := f.Now()
	f.Reboot(90*time.Second, "two")
	after := f.Now()
	if f.Boot() != "two" || after.Elapsed != 0 || after.Wall.Sub(before.Wall) != 90*time.Second {
		t.Errorf("boot %q, %+v", f.Boot(), after)
	}
}

func TestTheFakeMayBeAskedFromAnywhere(t *testing.T) {
	f := clock.NewFake(time.Now(), clock.Monotonic, "")
	before := f.Now()
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			for range 100 {
				f.Advance(time.Millisecond)
				f.Now()
				f.Boot()
			}
		})
	}
	wait.Wait()
	if d := f.Now().Since(before); d != 800*time.Millisecond {
		t.Errorf("%s passed", d)
	}
}

// TestTheMachinesClocks compares them with Go's own, which is another way to
// the same time.
func TestTheMachinesClocks(t *testing.T) {
	for name, c := range map[string]clock.Clock{"machine": clock.Machine{}, "portable": clock.Portable{}} {
		t.Run(name, func(t *testing.T) {
			began := time.Now()
			before := c.Now()
			time.Sleep(120 * time.Millisecond)
			after := c.Now()
			most := time.Since(began)
			if d := after.Since(before); d < 120*time.Millisecond || d > most {
				t.Errorf("%s passed, want 120 ms to %s", d, most)
			}
			if s, slept := after.SleptSince(before); slept {
				t.Errorf("it is said that %s", s)
			}
			if before.Kept != c.Kept() || after.Kept != c.Kept() {
				t.Errorf("kept by %s and %s, want %s", before.Kept, after.Kept, c.Kept())
			}
			if d := before.Wall.Sub(began.Round(0)); d < 0 || d > time.Second {
				t.Errorf("the wall is off by %s", d)
			}
			if before.Wall != before.Wall.Round(0) {
				t.Error("the wall has a monotonic part")
			}
			if first, second := c.Boot(), c.Boot(); first != second || (first == "") != (c.Kept() == clock.Monotonic) {
				t.Errorf("boot %q", c.Boot())
			}
		})
	}
}

// TestReadingsAreMonotonic reads as fast as it can.
func TestReadingsAreMonotonic(t *testing.T) {
	before := clock.Machine{}.Now()
	for range 10_000 {
		now := clock.Machine{}.Now()
		if now.Since(before) < 0 || now.Awake < before.Awake {
			t.Fatalf("%+v comes before %+v", now, before)
		}
		if s, slept := now.SleptSince(before); slept {
			t.Fatalf("noise of %s is taken for a sleep", s.Length)
		}
		before = now
	}
}

func BenchmarkNow(b *testing.B) {
	for b.Loop() {
		clock.Machine{}.Now()
	}
}
