package draw

import "time"

// most returns the highest level of a lane's stair, at least a gram.
func (l Lane) most() float64 {
	most := 1.0
	for _, v := range l.Stair {
		most = max(most, v.Grams)
	}
	return most
}

// stair draws a lane's water: what has been poured at now solid and to the
// eighth of a row, what is to come shaded, in whole rows.
func (f frame) stair(y int, l Lane) {
	levels := []rune(f.signs.levels)
	bottom := y + f.rows.stair - 1
	most, now := l.most(), f.now()
	next := 0 // the first level behind the moment
	for x := range f.axis.columns {
		t := f.axis.moment(x)
		for next < len(l.Stair) && l.Stair[next].At <= t {
			next++
		}
		eighths := int(l.grams(next, t)/most*float64(8*f.rows.stair) + 0.5)
		if !f.p.Still && t > now {
			f.shade(f.axis.left+x, bottom, eighths)
			continue
		}
		for row := 0; eighths > 8*row; row++ {
			f.Set(f.axis.left+x, bottom-row, levels[min(eighths-8*row, 8)-1], Water)
		}
	}
	for row := range f.rows.stair {
		f.head(y + row)
	}
}

// shade draws one column of water to come.
func (f frame) shade(x, bottom, eighths int) {
	full := (eighths + 4) / 8
	if full == 0 && eighths > 0 {
		f.Set(x, bottom, f.signs.drop, Water)
	}
	for row := range full {
		f.Set(x, bottom-row, f.signs.future, Water)
	}
}

// grams returns the level at a moment between the levels next-1 and next.
func (l Lane) grams(next int, t time.Duration) float64 {
	switch {
	case next == 0:
		return 0
	case next == len(l.Stair):
		return l.Stair[next-1].Grams
	}
	a, b := l.Stair[next-1], l.Stair[next]
	return a.Grams + (b.Grams-a.Grams)*float64(t-a.At)/float64(b.At-a.At)
}
