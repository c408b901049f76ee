package drift

import (
	"math"
	"slices"
	"time"

	"barline/brew"
	"barline/brew/drift/stat"
)

// leastBeside is how many brews of the weeks before, and of those after, a week
// is set against: two weeks of the least.
const leastBeside = 10

// beside is how many weeks to each side a week is set against. Being near, they
// are alike but for what was special about the one.
const beside = 2

// weeks asks of each week whether its slips were unlike those of the two weeks
// before and also unlike those of the two after, to the same side. That tells
// it from a change that lasts, which would look as odd in the week it came. What
// is usual for each person is taken out first, so that a rota which gives a week
// to one person makes no finding (Hodges and Lehmann 1962, aligned ranks).
// Nothing is asked where brews within the weeks resemble each other.
func (l *look) weeks(s Series, all int) {
	if s.Tally.gaps() != "" || len(s.Values) == 0 {
		return
	}
	values := s.aligned()
	groups, weeks := s.byWeek()
	rest := centred(values, groups, len(weeks))
	if stat.Dependent(stat.Lag1(rest), len(rest)) {
		return
	}
	echo := s.echo(rest, len(weeks))
	for g, w := range weeks {
		from, to := weeks[max(0, g-beside)].first, weeks[min(len(weeks)-1, g+beside)].last
		before, in, after := values[from:w.first], values[w.first:w.last+1], values[w.last+1:to+1]
		if len(in) < leastWeek.N || min(len(before), len(after)) < leastBeside {
			continue
		}
		l.ask(stat.Echoing(unlike(in, before, after), echo), func() (Finding, bool) {
			f := s.about(ClaimWeek, "")
			rest := slices.Concat(before, after)
			shift := stat.ShiftOf(in[max(0, len(in)-Latest):], rest[max(0, len(rest)-Latest):], confidence)
			f.between(s, w.first, w.last)
			f.By, f.In, f.K, f.N = shift.By, &shift.In, len(in), len(in)+len(rest)
			f.Strength = math.Abs(f.By) * float64(len(in)) / float64(all)
			return f, true
		})
	}
}

// unlike returns the chance of values being unlike both others, to the same
// side: that of the less unlike. Where the first is no more than chance it does
// not ask the other.
func unlike(in, before, after []float64) float64 {
	b := stat.RankTest(in, before)
	if b.P > PageRate {
		return b.P
	}
	a := stat.RankTest(in, after)
	if b.Z*a.Z <= 0 {
		return 1
	}
	return max(b.P, a.P)
}

// versions asks whether beats that did not change themselves go otherwise since
// the version before.
func (l *look) versions(before, now Set) {
	if before.Len() == 0 {
		return
	}
	both := Set{record: now.record, newest: now.newest, brews: slices.Concat(before.brews, now.brews)}
	now.record.sort(both.brews)
	for _, n := range now.columns() {
		if now.record.columns[n].What != Beats {
			continue
		}
		s := both.series(n, BySlip)
		values, groups := s.aligned(), make([]int, len(s.Values))
		for i := range groups {
			if s.Version(i) == now.Version() {
				groups[i] = 1
			}
		}
		in, rest := apart(values, groups)
		if leastCompare.withheld(s.Tally) != "" || min(len(in), len(rest)) < leastCompare.N {
			continue
		}
		left := centred(values, groups, 2)
		if stat.Dependent(stat.Lag1(left), len(left)) {
			continue
		}
		l.ask(stat.Echoing(stat.RankTest(in, rest).P, s.echo(left, 2)), func() (Finding, bool) {
			f := s.about(ClaimVersion, "")
			shift := stat.ShiftOf(in[max(0, len(in)-Latest):], rest[max(0, len(rest)-Latest):], confidence)
			f.By, f.In, f.K, f.N = shift.By, &shift.In, len(in), len(in)+len(rest)
			f.Strength = math.Abs(f.By) * float64(len(in)) / float64(both.Len())
			return f, true
		})
	}
}

// aligned returns the values less what is usual for whoever brewed them; what
// the bed does is nobody's.
func (s Series) aligned() []float64 {
	out := slices.Clone(s.Values)
	if s.ofBed() {
		return out
	}
	groups := make([]int, len(out))
	for i, n := range s.Brews {
		groups[i] = int(s.record.brews[n].person)
	}
	return centred(out, groups, len(s.record.persons.list))
}

// ofBed reports whether the column is the bed's.
func (s Series) ofBed() bool { return s.Column.Owner == brew.Bed }

// centred returns the values less the median of their group.
func centred(values []float64, groups []int, n int) []float64 {
	by := make([][]float64, n)
	for i, x := range values {
		by[groups[i]] = append(by[groups[i]], x)
	}
	middles := make([]float64, n)
	for g := range by {
		middles[g] = stat.Median(by[g])
	}
	out := make([]float64, len(values))
	for i, x := range values {
		out[i] = x - middles[groups[i]]
	}
	return out
}

// week is a week in which there are values, from the first to the last.
type week struct{ first, last int }

// byWeek returns for each value in which of the weeks it lies.
func (s Series) byWeek() (groups []int, weeks []week) {
	groups = make([]int, len(s.Values))
	var now time.Time
	for i := range groups {
		if m := monday(s.Start(i)); i == 0 || !sameDay(now, m) {
			now, weeks = m, append(weeks, week{first: i})
		}
		groups[i] = len(weeks) - 1
		weeks[len(weeks)-1].last = i
	}
	return groups, weeks
}

// monday returns the day on which the week of t begins, by t's own clock.
func monday(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d-(int(t.Weekday())+6)%7, 0, 0, 0, 0, t.Location())
}

func sameDay(a, b time.Time) bool {
	ay, am, ad := a.Date()
	by, bm, bd := b.Date()
	return ay == by && am == bm && ad == bd
}

// apart returns the values of group 1, and those of group 0.
func apart(values []float64, groups []int) (in, rest []float64) {
	for i, x := range values {
		if groups[i] == 1 {
			in = append(in, x)
		} else {
			rest = append(rest, x)
		}
	}
	return in, rest
}
