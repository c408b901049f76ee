package demo

import (
	"time"

	"barline/cmd/barline/internal/journal"
)

// AttemptBrews is how many brews an attempt to be let brew alone takes.
const AttemptBrews = 10

// test is an attempt of a person's at a recipe while it goes on.
type test struct {
	person string
	dish   *dish
	opened time.Time
	brewed int // so far
	asked  int // the brew in which a guest asks something, from 1; 0 for none
}

// newTests returns the attempts of the half year, both at the cone: Mo's,
// which a guest spoils, and Ada's. Where nothing is planted there are none.
func (y *year) newTests() []*test {
	if y.Plain {
		return nil
	}
	opened := func(week int) time.Time { return y.begins(week).Add(day + opens - 10*time.Minute) }
	cone := &y.menu[0]
	return []*test{
		{person: Mo, dish: cone, opened: opened(10), asked: 4},
		{person: Ada, dish: cone, opened: opened(20)},
	}
}

// watched returns the attempt that the brew counts for, nil for none.
func (y *year) watched(o order) *test {
	for _, t := range y.tests {
		if t.person == o.person.name && t.dish == o.dish && !o.start.Before(t.opened) && t.brewed < AttemptBrews {
			t.brewed++
			return t
		}
	}
	return nil
}

// distracts reports whether a guest asks something in the brew that is brewed
// now.
func (t *test) distracts() bool { return t != nil && t.brewed == t.asked }

// openTests writes the attempts down. What came of them follows from the brews.
func (y *year) openTests() error {
	for _, t := range y.tests {
		v := t.dish.newest()
		a := journal.Attempt{Person: t.person, Recipe: v.plan.Name, Version: v.plan.Version, Brews: AttemptBrews, Opened: t.opened}
		var err error
		if a.ID, err = journal.NewID(a.Opened, y.ids); err != nil {
			return err
		}
		y.journal.Attempts = append(y.journal.Attempts, a)
	}
	return nil
}
