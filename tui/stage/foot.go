package stage

import (
	"barline/tui/draw"

	"github.com/charmbracelet/bubbles/textinput"
)

// mark tells what the latest key did, or how the last mark fell; to the right,
// which beat waits. Where there is no room for both, the key's answer gives
// way to the beat that waits when it has been read.
func (s screen) mark() {
	b := s.lay[MarkPart]
	if b.H == 0 {
		return
	}
	if s.v.Warning != "" && s.lay[TitlePart].H == 0 && s.lay[HelpPart].H == 0 {
		s.Text(b.X, b.Y, draw.Fit(s.v.Warning, b.W), draw.Caution)
		return
	}
	answer, waits := s.v.Answer.Fit(b.W), s.v.Waits.Fit(b.W)
	switch {
	case answer == "" && waits == "" && s.lay[HelpPart].H == 0:
		s.Help(b.Y, s.v.Keys)
	case draw.Width(answer)+2+draw.Width(waits) <= b.W:
		s.Text(b.X, b.Y, answer, s.v.Answer.Role)
		s.Right(b.W, b.Y, waits, s.v.Waits.Role)
	case waits != "" && !s.v.Fresh:
		s.Text(b.X, b.Y, waits, s.v.Waits.Role)
	default:
		s.Text(b.X, b.Y, answer, s.v.Answer.Role)
	}
}

// foot draws the question being asked, or the keys. A question must be seen on
// any screen.
func (s screen) foot() {
	b := s.lay[HelpPart]
	switch {
	case s.v.Ask != nil:
		y := s.Height - 1
		s.over(y, "", []string{""}, draw.Plain)
		s.v.Ask.Draw(s.Canvas, y)
	case b.H == 0:
	case s.v.Warning != "" && s.lay[TitlePart].H == 0:
		s.Text(0, b.Y, draw.Fit(s.v.Warning, b.W), draw.Caution)
	default:
		s.Help(b.Y, s.v.Keys)
	}
}

// Draw draws the question into row y.
func (a Ask) Draw(c *draw.Canvas, y int) {
	if a.Typed == nil {
		c.Text(0, y, Fitting(c.Width, a.Texts...), draw.Caution)
		return
	}
	Typing(c, y, Fitting(c.Width/2, a.Texts...), *a.Typed)
}

// typingRoom is how much of a line must be seen while it is typed.
const typingRoom = 12

// Typing draws a label and the line being typed, its cursor in sight.
func Typing(c *draw.Canvas, y int, label string, in textinput.Model) {
	x := c.Text(0, y, draw.Fit(label, max(c.Width*2/3, c.Width-typingRoom)), draw.Plain)
	text, cursor := []rune(in.Value()), in.Position()
	before, under, after := text[:cursor], "_", ""
	if cursor < len(text) {
		under, after = string(text[cursor]), string(text[cursor+1:])
	}
	for len(before) > 0 && draw.Width(string(before))+draw.Width(under) > c.Width-x {
		before = before[1:]
	}
	x = c.Text(x, y, string(before), draw.Strong)
	x = c.Text(x, y, under, draw.Inverse)
	c.Text(x, y, after, draw.Strong)
}
