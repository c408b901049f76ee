package journal_test

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

// strength is a reading of 0.01 % times n, so many minutes after the morning.
func strength(n float64, minutes int) journal.Reading {
	n /= 100
	return journal.Reading{What: journal.Strength, Value: &n, Taken: morning.Add(time.Duration(minutes) * time.Minute)}
}

func weighed(grams float64, minutes int) journal.Reading {
	return journal.Reading{What: journal.BeverageWeight, Value: &grams, Taken: morning.Add(time.Duration(minutes) * time.Minute)}
}

// standing is what stands of a brew's cup, in words.
func standing(t testing.TB, j *journal.Journal, id string) string {
	t.Helper()
	var out []string
	for _, r := range journal.Current(load(t, j, id).Readings) {
		if r.Value != nil {
			out = append(out, fmt.Sprintf("%s %g", r.What, *r.Value))
		} else {
			out = append(out, fmt.Sprintf("%s %s", r.What, r.Text))
		}
	}
	return strings.Join(out, ", ")
}

// Of a file in which two terminals have added a reading each without knowing
// of the other's, the latest taken stands, whichever came into it first.
func TestTheLatestTakenReadingStandsAlone(t *testing.T) {
	cup := func(degrees float64, minutes int) journal.Reading {
		return journal.Reading{What: journal.CupTemperature, Value: &degrees, Taken: morning.Add(time.Duration(minutes) * time.Minute)}
	}
	for name, c := range map[string]struct {
		come []journal.Reading
		want string
	}{
		"one of a kind":                        {[]journal.Reading{strength(130, 1), weighed(150, 1)}, "strength 1.3, beverage weight 150"},
		"the later one comes second":           {[]journal.Reading{strength(130, 1), strength(140, 2)}, "strength 1.4"},
		"the later one comes first":            {[]journal.Reading{strength(140, 2), strength(130, 1)}, "strength 1.4"},
		"both at once":                         {[]journal.Reading{strength(130, 1), strength(140, 1)}, "strength 1.4"},
		"a cup has several temperatures":       {[]journal.Reading{cup(70, 1), cup(60, 5)}, "cup temperature 70, cup temperature 60"},
		"a third kind is not touched by these": {[]journal.Reading{weighed(150, 0), strength(140, 2), strength(130, 1)}, "beverage weight 150, strength 1.4"},
	} {
		j := fresh(t)
		r := brewed(press(t), morning)
		id := record(t, j, r, follow(r.Plan))
		for _, one := range c.come {
			must(t, j.AddReading(ctx, id, one))
		}
		if got := standing(t, j, id); got != c.want {
			t.Errorf("%s: %s stands, want %s", name, got, c.want)
		}
	}
}

// A correction replaces what stands even where two stood, and taking it back
// does not bring the other one up again.
func TestMeasuringReplacesWhatStands(t *testing.T) {
	j := fresh(t)
	r := brewed(press(t), morning)
	id := record(t, j, r, follow(r.Plan))
	must(t, j.AddReading(ctx, id, strength(130, 1)))
	must(t, j.AddReading(ctx, id, strength(140, 2)))
	for _, step := range []struct {
		said []journal.Reading
		kept int // readings in all
		want string
	}{
		{[]journal.Reading{strength(140, 3)}, 2, "strength 1.4"}, // as it stands
		{[]journal.Reading{strength(150, 3), weighed(151, 3)}, 4, "strength 1.5, beverage weight 151"},
		{[]journal.Reading{{What: journal.Taste, Taken: morning}}, 4, "strength 1.5, beverage weight 151"}, // nothing to take back
		{[]journal.Reading{{What: journal.Strength, Taken: morning.Add(time.Hour)}}, 5, "beverage weight 151"},
		{nil, 5, "beverage weight 151"},
		{[]journal.Reading{strength(120, 70)}, 6, "beverage weight 151, strength 1.2"},
	} {
		must(t, j.Measure(ctx, id, step.said))
		if n := len(load(t, j, id).Readings); n != step.kept || standing(t, j, id) != step.want {
			t.Errorf("%d readings, of which %s stands; want %d and %s", n, standing(t, j, id), step.kept, step.want)
		}
	}
	all := load(t, j, id).Readings
	if all[2].Replaces != all[1].ID || all[4].Replaces != all[2].ID || all[5].Replaces != "" {
		t.Errorf("they replace each other so: %+v", all)
	}
	sound(t, j)
}

// While it is brewed, too, a reading corrects one that is there, or is refused
// without stopping what comes after it.
func TestARecorderRefusesToCorrectWhatIsNotThere(t *testing.T) {
	j := fresh(t)
	rec := begin(t, j, brewed(press(t), morning))
	must(t, rec.Append(0, follow(press(t))[0]))
	lost := strength(140, 1)
	lost.Replaces = idAt(morning)
	var fault *journal.Fault
	if err := rec.Reading(lost); err == nil || errors.As(err, &fault) || !strings.Contains(err.Error(), "which is not there") {
		t.Errorf("got %v", err)
	}
	mass := brew.Mass(50_000)
	if err := rec.Weight(journal.Weight{Beat: "bloom, end", Mass: &mass, Taken: morning, Replaces: idAt(morning)}); err == nil || errors.As(err, &fault) || !strings.Contains(err.Error(), "which is not there") {
		t.Errorf("got %v", err)
	}
	must(t, rec.Reading(strength(130, 1)))
	must(t, rec.End(ctx))
	if got := standing(t, j, rec.ID()); got != "strength 1.3" {
		t.Errorf("%s stands", got)
	}
}

// What is said at once is kept as a whole or not at all.
func TestMeasuringKeepsNoHalf(t *testing.T) {
	j := fresh(t)
	ids := fullOf(t, j)
	taken := load(t, j, ids[0]).Readings[0].ID // by a reading of another brew
	second := weighed(151, 1)
	second.ID = taken
	before := exported(t, j)
	if err := j.Measure(ctx, ids[2], []journal.Reading{strength(140, 1), second}); err == nil {
		t.Error("an id that is taken is taken again")
	}
	if err := j.Measure(ctx, ids[2], []journal.Reading{strength(140, 1), {What: "smell", Text: "x", Taken: morning}}); err == nil {
		t.Error("a reading of nothing known is taken")
	}
	if !bytes.Equal(before, exported(t, j)) {
		t.Error("a half is kept")
	}
}
