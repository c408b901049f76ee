package drift_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"barline/brew/drift"
)

// trial is brews of Mo's, one an hour: '+' on time, 'l' a late pour, 'e' an
// early one, 'u' an unmarked, 's' a skipped, 'n' one not reached, 'x' stopped,
// 'b' a bed that drains far too late, 'o' another person's late one.
func trial(brews string) *drift.Record {
	r := &drift.Record{}
	for i, how := range brews {
		r.Add(tried(i, how).brew(r, "1", uint64(i)))
	}
	return r
}

// tried is one of a trial's brews.
func tried(i int, how rune) played {
	p := played{Start: monday.Add(time.Duration(i) * time.Hour), Person: "Mo"}
	switch how {
	case 'l':
		p.Slip[second] = 3.1
	case 'e':
		p.Slip[second] = -3.1
	case 'u':
		p.Fate[third] = drift.Unmarked
	case 's':
		p.Fate[third] = drift.Skipped
	case 'n':
		p.Fate[third] = drift.NotReached
	case 'x':
		p.Stop = true
	case 'b':
		p.Slip[bed] = 100
	case 'o':
		p.Person, p.Slip[bloom] = "Ada", 9
	}
	return p
}

func attempt(hour, brews int) drift.Attempt {
	return drift.Attempt{Person: "Mo", Version: "1", Opened: monday.Add(time.Duration(hour) * time.Hour), Brews: brews}
}

func TestAttemptToBrewAlone(t *testing.T) {
	for _, c := range []struct {
		name     string
		brews    string
		attempts []drift.Attempt
		want     []drift.Fit // without Attempt and AtLeast
	}{
		{"is under way until all are brewed", "++", []drift.Attempt{attempt(0, 3)},
			[]drift.Fit{{Standing: drift.UnderWay, Done: 2, Failed: -1, OnTime: 2, Of: 2}}},
		{"has no brew yet", "", []drift.Attempt{attempt(0, 3)}, []drift.Fit{{Standing: drift.UnderWay, Failed: -1}}},
		{"is passed by the last of them, whatever follows", "+++l", []drift.Attempt{attempt(0, 3)},
			[]drift.Fit{{Standing: drift.Passed, Done: 3, Failed: -1, OnTime: 3, Of: 4}}},
		{"is failed by one late beat", "++l+", []drift.Attempt{attempt(0, 4)},
			[]drift.Fit{{Standing: drift.Failed, Done: 2, Failed: 2, Why: "second pour, end: late", OnTime: 3, Of: 4}}},
		{"is failed by an early beat", "e", []drift.Attempt{attempt(0, 1)},
			[]drift.Fit{{Standing: drift.Failed, Failed: 0, Why: "second pour, end: early", Of: 1}}},
		{"is failed by an unmarked beat", "u", []drift.Attempt{attempt(0, 1)},
			[]drift.Fit{{Standing: drift.Failed, Failed: 0, Why: "third pour, end: unmarked", Of: 1}}},
		{"is failed by a skipped one", "s", []drift.Attempt{attempt(0, 1)},
			[]drift.Fit{{Standing: drift.Failed, Failed: 0, Why: "third pour, end: skipped", Of: 1}}},
		{"is failed by one not reached", "n", []drift.Attempt{attempt(0, 1)},
			[]drift.Fit{{Standing: drift.Failed, Failed: 0, Why: "third pour, end: not reached", Of: 1}}},
		{"is failed by stopping in time", "+x", []drift.Attempt{attempt(0, 2)},
			[]drift.Fit{{Standing: drift.Failed, Done: 1, Failed: 1, Why: "not finished", OnTime: 1, Of: 2}}},
		{"is not failed by the bed", "bbb", []drift.Attempt{attempt(0, 3)},
			[]drift.Fit{{Standing: drift.Passed, Done: 3, Failed: -1, OnTime: 3, Of: 3}}},
		{"is not failed by another person", "+o+", []drift.Attempt{attempt(0, 2)},
			[]drift.Fit{{Standing: drift.Passed, Done: 2, Failed: -1, OnTime: 2, Of: 2}}},
		{"counts no brew from before it was opened", "l++", []drift.Attempt{attempt(1, 2)},
			[]drift.Fit{{Standing: drift.Passed, Done: 2, Failed: -1, OnTime: 2, Of: 2}}},
		{"stays failed beside the one that is passed, and so do its brews", "l+l++", []drift.Attempt{attempt(0, 2), attempt(1, 2), attempt(3, 2)},
			[]drift.Fit{
				{Standing: drift.Failed, Failed: 0, Why: "second pour, end: late", OnTime: 3, Of: 5},
				{Standing: drift.Failed, Done: 1, Failed: 2, Why: "second pour, end: late", OnTime: 3, Of: 5},
				{Standing: drift.Passed, Done: 2, Failed: -1, OnTime: 3, Of: 5},
			}},
		{"is given up when the next is opened first", "++++", []drift.Attempt{attempt(2, 2), attempt(0, 3)},
			[]drift.Fit{{Standing: drift.Passed, Done: 2, Failed: -1, OnTime: 4, Of: 4}, {Standing: drift.GivenUp, Done: 2, Failed: -1, OnTime: 4, Of: 4}}},
	} {
		got := trial(c.brews).Fit(c.attempts)
		if len(got) != len(c.want) {
			t.Fatalf("%s: %+v", c.name, got)
		}
		for i, f := range got {
			if f.Attempt != c.attempts[i] {
				t.Errorf("%s: %+v came for %+v", c.name, f.Attempt, c.attempts[i])
			}
			f.Attempt, f.AtLeast = drift.Attempt{}, 0
			if f != c.want[i] {
				t.Errorf("an attempt %s: %+v, want %+v", c.name, f, c.want[i])
			}
		}
	}
}

// Attempts of other persons and versions are others.
func TestAttemptsOfOthersDoNotCount(t *testing.T) {
	other, older := attempt(1, 1), attempt(0, 1)
	other.Person, older.Version = "Ada", "0"
	got := trial("+++").Fit([]drift.Attempt{attempt(1, 2), other, older})
	if got[0].Standing != drift.Passed || got[0].Of != 2 || got[1].Of != 0 || got[2].Of != 0 || got[1].Standing != drift.UnderWay {
		t.Errorf("%+v", got)
	}
}

// Clopper and Pearson's one-sided bound at 95 % for n of n is the n-th root of
// 0.05.
func TestFitSaysHowLittleAFewBrewsProve(t *testing.T) {
	f := trial("++++++++++").Fit([]drift.Attempt{attempt(0, 10)})[0]
	if want := math.Pow(0.05, 0.1); math.Abs(f.AtLeast-want) > 1e-9 || f.Standing != drift.Passed {
		t.Errorf("%+v, want at least %v", f, want)
	}
	if f := trial("l").Fit([]drift.Attempt{attempt(0, 1)})[0]; f.AtLeast != 0 {
		t.Errorf("%+v", f)
	}
}

// Whoever is on time in 3 of 4 brews passes 5 in a row sooner or later by trying
// again; the bound beside it hardly ever says more than is true.
func TestTryingUntilItWorksProvesNothing(t *testing.T) {
	passed, fooled := 0, 0
	const seeds = 400
	for seed := range uint64(seeds) {
		bar := invented{brews: 60, persons: crew[:1], plant: func(i int, b *played) {
			for n := range bed {
				b.Slip[n] = math.Abs(b.Slip[n])
			}
			if b.Slip[bloom] < 0.3186 { // one in four
				b.Slip[second] = 9
			}
			b.Slip[third] = 0
		}}
		r := bar.record(seed)
		var attempts []drift.Attempt
		for hour := range 12 {
			a := attempt(0, 5)
			a.Opened = monday.AddDate(0, 0, hour)
			attempts = append(attempts, a)
		}
		for _, f := range r.Fit(attempts) {
			if f.Standing == drift.Passed {
				passed++
				break
			}
		}
		if r.Fit(attempts)[0].AtLeast > 0.75 {
			fooled++
		}
	}
	if passed < seeds/2 || fooled > atMost(seeds, 0.05) {
		t.Errorf("%d of %d pass at last, for %d the bound says more than 3 in 4", passed, seeds, fooled)
	}
}

func TestAnAttemptThatWasWithdrawnCountsNoLaterBrew(t *testing.T) {
	bar := invented{brews: 30, persons: crew[:1], plant: func(i int, b *played) {
		b.Slip = [4]float64{}
		if i == 20 {
			b.Slip[bloom] = 9
		}
	}}
	r := bar.record(1)
	s := r.Choose(drift.Choice{})
	at := func(i int) time.Time { return s.Head(i).Start }
	for name, c := range map[string]struct {
		brews, withdrawn int
		want             drift.Standing
		done             int
	}{
		"while it was under way":      {15, 10, drift.TakenBack, 10},
		"when it was passed already":  {8, 10, drift.Passed, 8},
		"when it had failed":          {25, 25, drift.Failed, 20},
		"ahead of what it would fail": {25, 20, drift.TakenBack, 20},
	} {
		t.Run(name, func(t *testing.T) {
			fit := r.Fit([]drift.Attempt{{Person: strings.ToUpper(crew[0]), Version: s.Version(), Opened: at(0), Brews: c.brews, Withdrawn: at(c.withdrawn)}})[0]
			if fit.Standing != c.want || fit.Done != c.done || fit.Of != 30 || fit.OnTime != 29 {
				t.Errorf("got %+v, want %s after %d", fit, c.want, c.done)
			}
		})
	}
}
