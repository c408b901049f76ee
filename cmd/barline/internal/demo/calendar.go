package demo

import (
	"slices"
	"time"
)

// calendar is the bar's weeks, from Monday to Sunday.
type calendar struct {
	first, last time.Time // days, at midnight by UTC
	monday      time.Time // of the first day's week
}

const day = 24 * time.Hour

// weeks is how long the journal goes: half a year.
const weeks = 26

// Closed is the day on which the bar is closed.
const Closed = time.Monday

func calendarTo(ends time.Time) calendar {
	y, m, d := ends.Date()
	c := calendar{last: time.Date(y, m, d, 0, 0, 0, 0, time.UTC)}
	c.first = c.last.AddDate(0, 0, 1-7*weeks)
	c.monday = c.first.AddDate(0, 0, -(int(c.first.Weekday())+6)%7)
	return c
}

// days returns the days on which the bar is open, by UTC.
func (c calendar) days() []time.Time {
	var out []time.Time
	for d := c.first; !d.After(c.last); d = d.AddDate(0, 0, 1) {
		if d.Weekday() != Closed {
			out = append(out, d)
		}
	}
	return out
}

// week returns in which of the bar's weeks a moment lies, from 0.
func (c calendar) week(t time.Time) int {
	y, m, d := t.Date()
	return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Sub(c.monday) / (7 * day))
}

// begins returns the moment at which a week of the bar's begins.
func (c calendar) begins(week int) time.Time { return at(c.monday.AddDate(0, 0, 7*week), 0) }

// at returns a moment of a day by the bar's clock, which is an hour ahead of
// UTC, and two in summer.
func at(d time.Time, clock time.Duration) time.Time {
	hours := 1
	if summer(d) {
		hours = 2
	}
	return time.Date(d.Year(), d.Month(), d.Day(), 0, 0, 0, 0, time.FixedZone("", hours*3600)).Add(clock)
}

// summer reports whether clocks are ahead on a day: from the last Sunday of
// March to that of October, as Directive 2000/84/EC has it. They change before
// the bar opens.
func summer(d time.Time) bool {
	return !d.Before(lastSunday(d.Year(), time.March)) && d.Before(lastSunday(d.Year(), time.October))
}

func lastSunday(year int, month time.Month) time.Time {
	d := time.Date(year, month+1, 0, 0, 0, 0, 0, time.UTC)
	return d.AddDate(0, 0, -int(d.Weekday()))
}

// The bar's hours, by its clock.
const (
	opens  = 8 * time.Hour
	closes = 17 * time.Hour
)

// orders draws when the brews of a day begin: some 15, and 20 on a weekend,
// with time for each to be over before the next.
func (y *year) orders(d time.Time) []time.Time {
	n := 12 + y.draw.IntN(7)
	if d.Weekday() == time.Saturday || d.Weekday() == time.Sunday {
		n += 5
	}
	each := (closes - opens) / time.Duration(n)
	out := make([]time.Time, n)
	for i := range out {
		late := time.Duration(y.draw.Float64() * float64(each-8*time.Minute))
		out[i] = at(d, (opens + time.Duration(i)*each + late).Round(time.Second))
	}
	return out
}

// shift returns who works on a day: two of three, all on a weekend.
func (y *year) shift(d time.Time) []person {
	all := slices.Clone(crew)
	if d.Weekday() == time.Saturday || d.Weekday() == time.Sunday {
		return all
	}
	off := int(d.Sub(y.monday)/day) % len(all)
	return slices.Delete(all, off, off+1)
}
