package draw

// Share draws a share, 0 to 1, as a bar one row high, filled up to it in the
// given role, between the ends of its interval, [ and ]. An end outside of 0 to
// 1 is left out, as is one for which there is no cell.
func Share(width int, share, low, high float64, role Role, ascii bool) *Canvas {
	c := Meter(width, share, -1, role, ascii)
	if c.Width == 0 {
		return c
	}
	from, to := shareColumn(low, c.Width), shareColumn(high, c.Width)
	if low >= 0 && low <= 1 {
		c.Set(from, 0, '[', Strong)
	}
	if high >= 0 && high <= 1 && (to > from || low < 0) {
		c.Set(to, 0, ']', Strong)
	}
	return c
}

func shareColumn(share float64, width int) int {
	return max(0, min(int(share*float64(width)), width-1))
}
