package demo

import (
	"fmt"
	"time"
)

// Fact is one thing that is planted, and how to see it.
type Fact struct {
	Says  string
	Shown string // by which command of barline's
}

// Facts returns what is planted in the bar's journal; nothing where it is
// plain.
func (b Bar) Facts() []Fact {
	if b.Plain {
		return nil
	}
	weekOf := func(t time.Time) string { return t.Format("2 January") }
	return []Fact{
		{fmt.Sprintf("the press's stir is %.0f s late, whoever brews, and what follows inherits it", StirLate), "drift " + Press},
		{fmt.Sprintf("%s is %.1f s late at first, half of that %.0f weeks on, and so on", Jun, JunLate, JunHalves), "drift " + Cone + " --by " + Jun},
		{fmt.Sprintf("the kettle was slow in the week of %s: pours %.1f s late", weekOf(b.KettleWeek()), KettleLate), "drift " + Cone},
		{fmt.Sprintf("the flat bed's bloom is longer since %s, and the bed dry %.0f s sooner", weekOf(b.ChangeWeek()), BedSooner), "drift " + FlatBed + " --version all"},
		{fmt.Sprintf("%s may brew the cone alone, %d brews of %d in time; a guest spoiled %s's attempt", Ada, AttemptBrews, AttemptBrews, Mo), "fit"},
		{"the limits of the cone's last pour are frozen from four weeks", "drift " + Cone + " --beat 'third pour, end'"},
	}
}

// KettleWeek returns when the week began in which the kettle was slow.
func (b Bar) KettleWeek() time.Time { return calendarTo(b.Ends).begins(kettleWeek) }

// ChangeWeek returns from when on the flat bed's bloom was longer.
func (b Bar) ChangeWeek() time.Time { return calendarTo(b.Ends).begins(newVersionWeek) }
