package draw

import (
	"fmt"
	"time"

	"barline/brew"
)

// steps are the distances of the ruler's figures and of the dots between.
var steps = []struct{ figure, dot time.Duration }{
	{5 * time.Second, time.Second},
	{10 * time.Second, 5 * time.Second},
	{15 * time.Second, 5 * time.Second},
	{30 * time.Second, 10 * time.Second},
	{time.Minute, 15 * time.Second},
	{2 * time.Minute, 30 * time.Second},
	{5 * time.Minute, time.Minute},
	{10 * time.Minute, 5 * time.Minute},
	{15 * time.Minute, 5 * time.Minute},
	{30 * time.Minute, 10 * time.Minute},
	{time.Hour, 15 * time.Minute},
	{2 * time.Hour, 30 * time.Minute},
	{6 * time.Hour, time.Hour},
	{24 * time.Hour, 6 * time.Hour},
}

const (
	figureRoom = 9 // columns from one figure of the ruler to the next
	dotRoom    = 3
)

// ruler writes minutes and seconds, each beginning at its moment, and dots
// between them.
func (f frame) ruler(y int) {
	a := f.axis
	figure, dot := a.steps()
	for t := a.from / figure * figure; t < a.to; t += figure {
		x, shown := a.column(t)
		if text := f.figure(t); shown && x+Width(text) <= f.Width {
			f.Text(x, y, text, Faint)
		}
	}
	for t := a.from / dot * dot; t < a.to; t += dot {
		x, shown := a.column(t)
		if free := f.At(x-1, y).Rune+f.At(x, y).Rune+f.At(x+1, y).Rune == 0; shown && free {
			f.Set(x, y, f.signs.minor, Faint)
		}
	}
}

// figure is a moment on the ruler. The lanes of a service stand on the time of
// day, which begins anew at midnight and has an hour in its first hour, too.
func (f frame) figure(t time.Duration) string {
	const day = 24 * time.Hour
	if f.p.Day {
		t = (t%day + day) % day
	}
	if f.p.Day && t < time.Hour {
		return "0:" + fmt.Sprintf("%02d:%02d", int(t.Minutes()), int(t.Seconds())%60)
	}
	return brew.Clock(t)
}

// steps returns distances of figures and dots that leave them room; without
// room for dots they are as far apart as the figures.
func (a axis) steps() (figure, dot time.Duration) {
	room := func(d time.Duration) int { return a.half(a.from+d) / 2 }
	for _, s := range steps {
		figure, dot = s.figure, s.dot
		if room(figure) >= figureRoom || a.from+figure >= a.to {
			break
		}
	}
	for room(figure) < figureRoom && a.from+figure < a.to {
		figure *= 2
	}
	if room(dot) < dotRoom {
		dot = figure
	}
	return figure, dot
}
