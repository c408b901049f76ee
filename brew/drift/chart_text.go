package drift

import (
	"strings"
	"time"
)

// A chart is worded here alone, so that all who show it say the same. Its words
// go by the two rules whose rate of false alarms is known, a point far outside
// and a long run on one side, so that both together are wrong no oftener than a
// rate, say 0.05. The other rules are drawn, not claimed. Where neither says
// anything, no change is shown, which is not to say that there is none.

// Changed reports whether the chart shows a change.
func (c Chart) Changed(rate float64) bool { return c.far(rate) || c.ran(rate) }

func (c Chart) far(rate float64) bool { return c.judges() && c.farByChance() <= rate/2 }
func (c Chart) ran(rate float64) bool { return c.judges() && c.runByChance() <= rate/2 }

// judges reports whether there are limits, and points judged by them.
func (c Chart) judges() bool { return c.Withheld == "" && len(c.Points) > c.Judge }

// runEnded reports whether the longest run is over: the latest points are not of
// it.
func (c Chart) runEnded() bool { return c.Judge+c.Run.From+c.Run.Length < len(c.Points) }

// Word says in a few words whether the chart shows a change, for a cell of a
// table.
func (c Chart) Word(rate float64) string {
	switch {
	case c.Withheld != "":
		return string(c.Withheld)
	case !c.judges():
		return "nothing to judge yet"
	case c.ran(rate) && !c.runEnded():
		return "changed"
	case c.ran(rate):
		return "changed for a time"
	case c.far(rate):
		return "one brew far outside"
	}
	return "no change shown"
}

// Words says the same in full: 'later than in its baseline since 3 March 2026;
// one brew far outside on 4 May 2026'. A point of the run is no news beside it.
func (c Chart) Words(rate float64) string {
	if c.Withheld != "" {
		return "limits withheld: " + c.Withheld.For("limits")
	}
	var said []string
	if c.ran(rate) {
		said = append(said, c.side()+" than in its baseline "+c.ranWhile())
	}
	if c.far(rate) && !(c.ran(rate) && c.farInRun()) {
		said = append(said, "one brew far outside on "+day(c.farthestAt))
	}
	if len(said) == 0 {
		return c.Word(rate)
	}
	return strings.Join(said, "; ")
}

// farInRun reports whether the farthest point is of the longest run.
func (c Chart) farInRun() bool {
	return c.Run.From <= c.Farthest && c.Farthest < c.Run.From+c.Run.Length
}

// side is to which side of its baseline the longest run lies.
func (c Chart) side() string {
	sides := map[What][2]string{Lengths: {"shorter", "longer"}, Weights: {"less", "more"}}
	pair, ok := sides[c.what]
	if !ok {
		pair = [2]string{"sooner", "later"}
	}
	if c.Run.Above {
		return pair[1]
	}
	return pair[0]
}

// ranWhile says from when until when the longest run was.
func (c Chart) ranWhile() string {
	if c.runEnded() {
		return "from " + day(c.runFrom) + " until " + day(c.runTo)
	}
	return "since " + day(c.runFrom)
}

// Caveat says what a figure of capability beside the chart must be read under;
// "" where nothing speaks against it.
func (c Chart) Caveat(rate float64) string {
	switch {
	case c.Changed(rate):
		return "the chart shows a change, so capability says nothing of the brews to come"
	case !c.judges():
		return "whether anything changes is not known, which capability presumes it does not"
	}
	return ""
}

func day(t time.Time) string { return t.Format("2 January 2006") }
