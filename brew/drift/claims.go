package drift

import (
	"math"
	"slices"

	"barline/brew/drift/stat"
)

// usual asks whether the beat is late, or early, by its own slip in more than
// half of the brews. all is how many brews the page looks at.
func (l *look) usual(s owned, all int) {
	t := s.Tally
	if leastUsual.withheld(t) != "" {
		return
	}
	echo := s.echo(s.Values, 1)
	ask := func(claim Claim, k int) {
		if !s.ofBed() {
			id := whose{claim, s.Column.Version, s.Column.Key}
			l.persons[id] = append(l.persons[id], s.person)
		}
		l.ask(stat.EchoingSigns(stat.ByChance(k, t.Marked, 0.5), echo), func() (Finding, bool) {
			f := s.about(claim, s.person)
			f.values = slices.Clone(s.Values)
			f.By, f.K, f.N = stat.Median(f.values), k, t.Marked
			f.Strength = math.Abs(f.By) * float64(k) / float64(all)
			f.Note = s.note()
			return f, true
		})
	}
	ask(ClaimLate, t.Late)
	ask(ClaimEarly, t.Early)
}

// charts asks of each owner's chart whether the farthest point outside, and the
// longest run on one side, are more than chance. A point must stand alone, too,
// among those of all owners: that is right about chance where limits from sigma
// are not, for slips need not be normal.
func (l *look) charts(owners []owned, all int) {
	var charts []chartOf
	var distances []float64 // of all values
	for _, s := range owners {
		c, judged := s.judged(l.baseline)
		if far, spread := s.distances(); judged && spread {
			charts = append(charts, chartOf{s, c, len(distances)})
			distances = append(distances, far...)
		}
	}
	for _, c := range charts {
		alone := stat.Alone(distances, c.first+c.Judge+c.Farthest)
		l.outside(c, alone, all)
		l.run(c, all)
	}
}

// chartOf is the chart of an owner's slips, and where these begin among those
// of all.
type chartOf struct {
	owned
	Chart
	first int
}

// judged returns the chart of the one version in the series, and false where it
// judges nothing, or where the baseline's brews resemble each other. Only the
// baseline is asked, for a change that lasts makes what follows resemble itself;
// 25 brews show strong resemblance, not all.
func (s Series) judged(b Baseline) (Chart, bool) {
	c := s.control(b)
	if len(c) != 1 || c[0].Withheld != "" || len(c[0].Points) == c[0].Judge {
		return Chart{}, false
	}
	baseline := s.Values[c[0].From:c[0].Judge]
	return c[0], !stat.Dependent(stat.Lag1(baseline), len(baseline))
}

// distances returns how far each value lies from the median, in widths of the
// middle half, which one wild value does not change; false where that half has
// no width.
func (s Series) distances() ([]float64, bool) {
	out := slices.Clone(s.Values)
	five := stat.FiveOf(out)
	for i, x := range s.Values {
		out[i] = math.Abs(x-five.Median) / (five.Upper - five.Lower)
	}
	return out, five.Upper > five.Lower
}

func (l *look) outside(c chartOf, alone float64, all int) {
	at, p := c.Judge+c.Farthest, alone
	if p <= PageRate { // else it can be no finding, however far it lies, and that takes long to work out
		p = max(p, c.farByChance())
	}
	l.ask(p, func() (Finding, bool) {
		f := c.about(ClaimOutside, c.person)
		f.between(c.Series, at, at)
		f.By, f.Sigmas = c.Values[at], c.Far
		f.K, f.N = c.Outside, len(c.Points)-c.Judge
		f.Strength = math.Abs(f.By-c.Limits.Centre) / float64(all)
		return f, c.Outside > 0
	})
}

func (l *look) run(c chartOf, all int) {
	l.ask(c.runByChance(), func() (Finding, bool) {
		f := c.about(ClaimRun, c.person)
		from := c.Judge + c.Run.From
		run := slices.Clone(c.Values[from : from+c.Run.Length])
		f.between(c.Series, from, from+len(run)-1)
		f.By = stat.Median(run) - stat.Median(slices.Clone(c.Values[c.From:c.Judge]))
		f.K, f.N, f.Ended = len(run), len(c.Points)-c.Judge, c.runEnded()
		f.Strength = math.Abs(f.By) * float64(f.K) / float64(all)
		return f, true
	})
}

// trend asks whether a person's slips shrink or grow, or the bed's get later
// or sooner.
func (l *look) trend(s owned, all int) {
	weeks, values := s.latest()
	ofBed := s.ofBed()
	if !ofBed {
		values = sizes(values)
	}
	t := s.trendOf(weeks, values)
	if t.Withheld != "" {
		return
	}
	claim := map[bool]map[bool]Claim{false: {true: ClaimWorse, false: ClaimBetter}, true: {true: ClaimLater, false: ClaimSooner}}[ofBed][t.Kendall.S > 0]
	l.ask(t.P, func() (Finding, bool) {
		f := s.about(claim, s.person)
		third := len(values) / 3
		f.At, f.By = stat.Median(slices.Clone(values[:third])), stat.Median(slices.Clone(values[len(values)-third:]))
		f.By, f.To = f.By-f.At, f.By
		f.K, f.N = t.Used, t.Of
		f.Strength = math.Abs(f.By) / 2 * float64(t.Used) / float64(all)
		return f, (f.By > 0) == (t.Kendall.S > 0)
	})
}

func sizes(xs []float64) []float64 {
	out := make([]float64, len(xs))
	for i, x := range xs {
		out[i] = math.Abs(x)
	}
	return out
}

// carried asks whether the beat is late by its drift in more than half of the
// brews; it has something to say where most of that was inherited.
func (l *look) carried(s Set, column int) {
	drifts := s.series(column, ByDrift)
	t := drifts.Tally
	if leastUsual.withheld(t) != "" {
		return
	}
	l.ask(stat.EchoingSigns(stat.ByChance(t.Late, t.Marked, 0.5), drifts.echo(drifts.Values, 1)), func() (Finding, bool) {
		w := s.Where()
		i := slices.IndexFunc(w.Beats, func(b BeatWhere) bool { return b.Column.Key == drifts.Column.Key })
		b := w.Beats[i]
		f := drifts.about(ClaimCarried, "")
		f.K, f.N, f.Share = t.Late, t.Marked, b.Carried/b.Drift
		f.By = stat.Median(slices.Clone(drifts.Values))
		f.Strength = math.Abs(b.Carried) / float64(s.Len())
		if from, share := w.Source(i); from >= 0 && share > f.Share/2 {
			f.Source = &w.Beats[from].Column
		}
		return f, b.Drift > 0 && f.Share > 0.5
	})
}

// about begins a finding on the series' beat.
func (s Series) about(c Claim, person string) Finding {
	return Finding{Claim: c, Column: s.Column, Person: person, First: -1, Last: -1}
}

// between says which values of the series a finding is about.
func (f *Finding) between(s Series, first, last int) {
	f.First, f.Last = int(s.Brews[first]), int(s.Brews[last])
	f.from, f.to = s.Start(first), s.Start(last)
}

// note owns up to what slips cannot tell apart where most starts are unmarked.
func (s Series) note() string {
	if 2*s.Tally.StartUnmarked <= s.Tally.Marked {
		return ""
	}
	return "its start is mostly not marked, so slow work and a late start count together"
}
