package drift

import (
	"math"
	"time"

	"barline/brew/drift/stat"
)

// Baseline says from which brews the limits of a chart come. The zero
// Baseline is the first 25 of each version. A range in time freezes it: where
// at least 25 brews of a version lie in the range, they are the baseline, and
// only later brews are judged.
type Baseline struct {
	Since time.Time // from this instant on
	Until time.Time // before this one; both are needed
	// Frozen are ranges for one beat, length or weight of one version alone,
	// which stand in for the above; of several for the same the last one.
	Frozen []Frozen
}

// Frozen is a baseline that was frozen for one column, whatever the measure. It
// stays frozen whatever becomes of its brews: where fewer than 25 are left of
// them, or were chosen, there are no limits, and never those of other brews.
type Frozen struct {
	What         What
	Version, Key string // of the column
	Since        time.Time
	Until        time.Time
	// Brews is how many there were when it was frozen; 0 where that is not
	// known. A chart says how many of them it lacks.
	Brews int
}

// of returns the range of a version's column, and what was frozen for it, if
// anything was.
func (b Baseline) of(c Column, version string) (in Baseline, frozen *Frozen) {
	for i, f := range b.Frozen {
		if f.What == c.What && f.Version == version && f.Key == c.Key {
			b.Since, b.Until, frozen = f.Since, f.Until, &b.Frozen[i]
		}
	}
	return b, frozen
}

// Chart is the control chart of one version's values in a series: whether it
// still goes as it did in its baseline. Baseline and judged points never
// overlap.
type Chart struct {
	Version string `json:"version"`
	Points  []int  `json:"points"` // indices into the series' values, in order
	From    int    `json:"from"`   // of Points: the baseline begins,
	Judge   int    `json:"judge"`  // and ends; from here on points are judged
	Frozen  bool   `json:"frozen"` // the baseline is one that was frozen
	// Lacks is how many brews of a frozen baseline are not among the points:
	// they were forgotten, or not chosen.
	Lacks int `json:"lacks"`

	Limits stat.Limits `json:"limits"`
	// Of the points judged, one each. The moving averages have lambda 0.2
	// and limits of 3 sigma, the sums pass half a sigma and signal at 5;
	// both begin at the baseline's centre with the first point judged.
	Rules []stat.RuleSet  `json:"rules"` // by stat.Rules
	EWMA  []stat.Smoothed `json:"ewma"`
	CUSUM []stat.Sums     `json:"cusum"`

	// Ranges are how far each point but the first lies from the one before.
	Ranges        []float64 `json:"ranges"`
	RangesOutside int       `json:"ranges_outside"` // those up to a point judged that are beyond their limit

	Outside  int     `json:"outside"`  // points judged beyond the limits
	Farthest int     `json:"farthest"` // of the points judged, counted from Judge; -1 for none
	Far      float64 `json:"far"`      // how far that one is from the centre, in sigma; + is late
	Run      Run     `json:"run"`      // the longest on one side of the baseline's median
	// By chance alone, one or more points judged would lie outside so often,
	// 0 to 1: it grows with their number. 0 where none is judged.
	ByChance float64 `json:"by_chance"`
	Withheld Reason  `json:"withheld"` // why there are no limits, and nothing judged

	echo       float64 // how far a point may resemble the one before
	what       What
	farthestAt time.Time // when the farthest point was,
	runFrom    time.Time // and the first
	runTo      time.Time // and the last of the run
}

// Run is a stretch of points judged on one side.
type Run struct {
	From   int  `json:"from"`   // the first, counted from Judge
	Length int  `json:"length"` // 0 for none
	Above  bool `json:"above"`
}

// Control returns the charts of a series, one a version in the order in which
// they were first brewed: limits start anew with each.
func (s Series) Control(b Baseline) []Chart {
	charts := s.control(b)
	for n := range charts {
		s.draw(&charts[n])
	}
	return charts
}

// control returns the charts with what findings need of them: the limits and
// what is farthest and longest.
func (s Series) control(b Baseline) []Chart {
	var charts []Chart
	at := map[string]int{}
	for i := range s.Values {
		v := s.Version(i)
		n, ok := at[v]
		if !ok {
			n = len(charts)
			at[v], charts = n, append(charts, Chart{Version: v})
		}
		charts[n].Points = append(charts[n].Points, i)
	}
	for n := range charts {
		s.chart(&charts[n], b)
	}
	return charts
}

// chart fills in what follows from the points, but what is only drawn.
func (s Series) chart(c *Chart, b Baseline) {
	c.Farthest, c.Judge = -1, min(leastBaseline.N, len(c.Points))
	in, frozen := b.of(s.Column, c.Version)
	from, to := s.within(c.Points, in)
	if to-from >= leastBaseline.N {
		c.From, c.Judge = from, to
	}
	if frozen != nil {
		c.Frozen, c.Lacks = true, max(0, frozen.Brews-max(0, to-from))
	}
	baseline, judged := s.at(c.Points[c.From:c.Judge]), s.at(c.Points[c.Judge:])
	c.Limits = stat.LimitsOf(baseline)
	switch {
	case s.Tally.gaps() != "":
		c.Withheld = s.Tally.gaps()
	case c.Frozen && to-from < leastBaseline.N:
		c.Withheld = Lost
	case len(baseline) < leastBaseline.N:
		c.Withheld = TooFew
	case c.Limits.Sigma == 0:
		c.Withheld = NoSpread
	}
	if c.Withheld != "" {
		c.Limits, c.From, c.Judge = stat.Limits{}, 0, len(c.Points)
		return
	}
	for i, x := range judged {
		if z := c.Limits.Z(x); math.Abs(z) > math.Abs(c.Far) {
			c.Farthest, c.Far = i, z
		}
		if c.Limits.Out(x) {
			c.Outside++
		}
	}
	c.Run = longest(judged, stat.Median(baseline))
	c.echo = s.echoOf(c)
	c.date(s)
}

// date says when what stands out was.
func (c *Chart) date(s Series) {
	at := func(judged int) time.Time { return s.Start(c.Points[c.Judge+judged]) }
	c.what = s.Column.What
	if c.Farthest >= 0 {
		c.farthestAt = at(c.Farthest)
	}
	if c.Run.Length > 0 {
		c.runFrom, c.runTo = at(c.Run.From), at(c.Run.From+c.Run.Length-1)
	}
}

// echoOf returns how far the chart's latest values may resemble the ones before,
// though those of its longest run lie elsewhere than the others.
func (s Series) echoOf(c *Chart) float64 {
	from := max(0, len(c.Points)-LatestBrews)
	points := c.Points[from:]
	run := c.Judge + c.Run.From - from
	of, groups := Series{Column: s.Column, record: s.record}, make([]int, len(points))
	for i, p := range points {
		of.Brews = append(of.Brews, s.Brews[p])
		if run <= i && i < run+c.Run.Length {
			groups[i] = 1
		}
	}
	return of.echo(centred(s.at(points), groups, 2), 2)
}

// draw adds what is drawn and not claimed.
func (s Series) draw(c *Chart) {
	if c.Withheld != "" {
		return
	}
	l, judged := c.Limits, s.at(c.Points[c.Judge:])
	z := make([]float64, len(judged))
	for i, x := range judged {
		z[i] = l.Z(x)
	}
	c.Ranges = stat.Ranges(s.at(c.Points))
	for _, r := range c.Ranges[c.Judge-1:] {
		if r > l.HighRange {
			c.RangesOutside++
		}
	}
	c.Rules = stat.Marks(z)
	c.EWMA = stat.EWMA(judged, l.Centre, l.Sigma, 0.2, 3)
	c.CUSUM = stat.CUSUM(judged, l.Centre, l.Sigma/2, 5*l.Sigma)
	if len(judged) > 0 {
		c.ByChance = stat.Alarms{Baseline: l.N, Points: len(judged)}.Outside(3)
	}
}

// within returns which of the points lie in a frozen baseline's range.
func (s Series) within(points []int, b Baseline) (from, to int) {
	for i, p := range points {
		switch start := s.Start(p); {
		case start.Before(b.Since):
			from, to = i+1, i+1
		case start.Before(b.Until):
			to = i + 1
		}
	}
	return from, to
}

func (s Series) at(points []int) []float64 {
	out := make([]float64, len(points))
	for i, p := range points {
		out[i] = s.Values[p]
	}
	return out
}

// longest returns the longest run on one side; a point on the middle ends it.
func longest(xs []float64, middle float64) Run {
	var best, now Run
	for i, x := range xs {
		switch {
		case x == middle:
			now.Length = 0
			continue
		case now.Length == 0 || now.Above != (x > middle):
			now = Run{From: i, Above: x > middle}
		}
		if now.Length++; now.Length > best.Length {
			best = now
		}
	}
	return best
}

// farByChance returns how often chance alone puts a point as far out. Where
// neighbours resemble each other by r, moving ranges make sigma too small by the
// root of 1 - r.
func (c Chart) farByChance() float64 {
	return c.alarms().Outside(math.Abs(c.Far) * math.Sqrt(1-c.echo))
}

// runByChance returns how often chance alone makes a run as long.
func (c Chart) runByChance() float64 {
	return stat.Echoing(c.alarms().OneSide(c.Run.Length), c.echo)
}

func (c Chart) alarms() stat.Alarms {
	return stat.Alarms{Baseline: c.Judge - c.From, Points: len(c.Points) - c.Judge}
}
