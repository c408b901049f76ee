package cup

import (
	"time"

	"barline/brew"
)

// PreferredDrinking is the temperature at which 300 people liked their coffee,
// and PreferredSpread the standard deviation among them (Lee and O'Mahony 2002,
// Journal of Food Science 67:2774; Brown and Diller 2008, Burns 34:648).
const (
	PreferredDrinking = brew.Celsius(60)
	PreferredSpread   = brew.Celsius(8.3)
)

// mugTau is the time constant of water in an open mug, by least squares over
// 31 readings, one a minute, from 100 °C in air of 21.7 °C (data of a
// University of Georgia course page): they lie 1.5 °C off the curve (root mean
// square), above it at first and below it later.
const mugTau = 1815 * time.Second

// Drinking is how long a cup takes until it can be drunk.
type Drinking struct {
	Wait      time.Duration // to PreferredDrinking
	Low, High time.Duration // two in three people like it between these
	Why       string
}

// Drinkable returns how long a cup at a temperature takes, in air of another,
// until most like to drink it; a cup that is colder already takes no time. It
// is an estimate by one mug that was measured: a thin cup cools faster. The
// error is a *Slip in air so warm that it never gets there.
func Drinkable(from, air brew.Celsius) (Drinking, error) {
	if s := temperature("a cup of", from, 0, hottestLiquid); s != nil {
		return Drinking{}, s
	}
	if s := temperature("air of", air, -40, PreferredDrinking-PreferredSpread-1); s != nil {
		return Drinking{}, s
	}
	mug := Cooling{air, mugTau}
	until := func(to brew.Celsius) time.Duration {
		d, _ := mug.Takes(from, to) // 0 where it is colder already
		return d
	}
	return Drinking{
		Wait: until(PreferredDrinking),
		Low:  until(PreferredDrinking + PreferredSpread), High: until(PreferredDrinking - PreferredSpread),
		Why: "one open mug that was measured, and what 300 people preferred",
	}, nil
}

// scalds are the times after which water burns an adult's skin to the second
// degree (after Moritz and Henriques 1947, American Journal of Pathology
// 23:695, as widely reproduced).
var scalds = []struct {
	at     brew.Celsius
	within time.Duration
}{
	{60, 3 * time.Second}, {55, 17 * time.Second}, {51, 2 * time.Minute}, {49, 8 * time.Minute},
	{48, 15 * time.Minute}, {47, 20 * time.Minute}, {45, 2 * time.Hour},
}

// Scalds returns within what time water of a temperature burns an adult's
// skin: the time of the hottest row of the published table that it reaches, so
// the truth is that or less. Above 60 °C, where all brewing water is, the
// table says no more than 3 s; for children and the old all times are shorter.
// It is false below 45 °C, the table's end.
func Scalds(at brew.Celsius) (within time.Duration, ok bool) {
	for _, row := range scalds {
		if at >= row.at {
			return row.within, true
		}
	}
	return 0, false
}
