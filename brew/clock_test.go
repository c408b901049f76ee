package brew_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"barline/brew"
)

func TestMomentsInWords(t *testing.T) {
	for _, test := range []struct {
		at                           float64 // seconds
		clock, exact, spoken, signed string
	}{
		{0, "0:00", "0:00", "0 s", "0.0 s"},
		{0.0004, "0:00", "0:00", "0 s", "0.0 s"},
		{0.04, "0:00", "0:00.04", "0.04 s", "0.0 s"},
		{0.05, "0:00", "0:00.05", "0.05 s", "+0.1 s"},
		{7.5, "0:07", "0:07.5", "7.5 s", "+7.5 s"},
		{7.999, "0:07", "0:07.999", "7.999 s", "+8.0 s"},
		{7.9996, "0:07", "0:08", "8 s", "+8.0 s"},
		{59.9996, "0:59", "1:00", "1 min", "+60.0 s"},
		{60, "1:00", "1:00", "1 min", "+60.0 s"},
		{90.25, "1:30", "1:30.25", "1 min 30.25 s", "+90.3 s"},
		{3599, "59:59", "59:59", "59 min 59 s", "+3599.0 s"},
		{3600, "1:00:00", "1:00:00", "60 min", "+3600.0 s"},
		{36125.1, "10:02:05", "10:02:05.1", "602 min 5.1 s", "+36125.1 s"},
		{-0.0004, "-0:01", "0:00", "0 s", "0.0 s"},
		{-0.5, "-0:01", "-0:00.5", "-0.5 s", "-0.5 s"},
		{-1, "-0:01", "-0:01", "-1 s", "-1.0 s"},
		{-1.001, "-0:02", "-0:01.001", "-1.001 s", "-1.0 s"},
		{-61, "-1:01", "-1:01", "-1 min 1 s", "-61.0 s"},
		{-0.049, "-0:01", "-0:00.049", "-0.049 s", "0.0 s"},
	} {
		d := time.Duration(math.Round(test.at * 1e9))
		same(t, d.String(), []string{brew.Clock(d), brew.Exact(d), brew.Spoken(d), brew.Signed(d)},
			[]string{test.clock, test.exact, test.spoken, test.signed})
	}
}

var exactForm = regexp.MustCompile(`^-?(?:\d+:)?\d{1,2}:\d\d(\.\d{1,3})?$`)

// readExact reads what Exact and Clock write.
func readExact(text string) time.Duration {
	var total float64
	for _, part := range strings.Split(strings.TrimPrefix(text, "-"), ":") {
		v, _ := strconv.ParseFloat(part, 64)
		total = total*60 + v
	}
	d := time.Duration(math.Round(total*1000)) * time.Millisecond
	if strings.HasPrefix(text, "-") {
		return -d
	}
	return d
}

// readSpoken reads what Spoken writes.
func readSpoken(text string) time.Duration {
	d, _ := time.ParseDuration(strings.NewReplacer(" min", "m", " s", "s", " ", "").Replace(text))
	return d
}

func FuzzMomentsInWordsReadBack(f *testing.F) {
	for _, seed := range []int64{0, 1, -1, 7_500_000_000, -59_999_600_000, 3_600_000_000_000, math.MaxInt64, math.MinInt64} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, n int64) {
		d := time.Duration(n)
		exact, clock, spoken := brew.Exact(d), brew.Clock(d), brew.Spoken(d)
		if !exactForm.MatchString(exact) || !exactForm.MatchString(clock) || strings.Contains(clock, ".") {
			t.Fatalf("%v is %q and %q", d, exact, clock)
		}
		if d.Abs() > 1000*time.Hour {
			return // finer than a float64 holds, longer than anybody brews
		}
		if got := readExact(exact); got != d.Round(time.Millisecond) {
			t.Errorf("%v is %q, which is %v", d, exact, got)
		}
		if got := readSpoken(spoken); got != d.Round(time.Millisecond) {
			t.Errorf("%v is %q, which is %v", d, spoken, got)
		}
		if floor := readExact(clock); floor > d || d-floor >= time.Second && d >= 0 || d-floor > time.Second {
			t.Errorf("%v is %q on the clock", d, clock)
		}
		signed, err := strconv.ParseFloat(strings.TrimSuffix(brew.Signed(d), " s"), 64)
		if err != nil || math.Abs(signed-d.Seconds()) > 0.0501 || (signed == 0) != (brew.Signed(d) == "0.0 s") {
			t.Errorf("%v is %q", d, brew.Signed(d))
		}
	})
}
