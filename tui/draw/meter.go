package draw

// Meter draws a horizontal bar one row high: filled up to done, a fraction of
// the whole, in the given role, with a tick at the fraction target. What is
// beyond 0 and 1 is held there; a target outside of 0 to 1 is left out.
func Meter(width int, done, target float64, role Role, ascii bool) *Canvas {
	c := NewCanvas(width, 1)
	s := blockSigns
	if ascii {
		s = asciiSigns
	}
	parts := []rune(s.parts)
	filled := 0 // in eighths of a column
	if done > 0 {
		filled = int(min(done, 1) * float64(8*c.Width))
	}
	for x := range c.Width {
		switch here := filled - 8*x; {
		case here >= 8:
			c.Set(x, 0, s.full, role)
		case here > 0 && parts[here-1] != ' ':
			c.Set(x, 0, parts[here-1], role)
		default:
			c.Set(x, 0, s.rest, Faint)
		}
	}
	if target >= 0 && target <= 1 {
		c.Set(min(int(target*float64(c.Width)), c.Width-1), 0, s.target, Strong)
	}
	return c
}
