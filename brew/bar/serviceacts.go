package bar

import (
	"cmp"
	"slices"
	"time"

	"barline/brew"
)

// doing is one act of an order at a moment: what it is and how far it has
// come.
type doing struct {
	Do
	kind  actKind
	who   int
	begun bool
	over  bool
}

// acts returns every act of an order but for gaps as it was, is, or will be.
// It is nil where nothing is known.
func (s *Service) acts(j int, now time.Duration) []doing {
	o, d := &s.orders[j], s.dish(j)
	if o.timing == nil && o.brew < 0 && len(o.chores) == 0 {
		return nil
	}
	var out []doing
	for a, act := range d.Pattern.Acts {
		if d.kinds[a] == gapAct {
			continue
		}
		x := doing{kind: d.kinds[a], who: s.whoDoes(o, a), Do: Do{
			Order: j, Act: a, Cue: act.Cue, Name: act.Name, Say: d.say(a),
			Hands: slices.Contains(act.Uses, Hands), Zero: a == d.first() && o.brew < 0,
		}}
		if !s.time(&x, o, now) {
			continue
		}
		if !x.begun && o.slacks != nil {
			x.May, x.Free = moment(o.slacks[a].May), moment(o.slacks[a].Free)
		}
		out = append(out, x)
	}
	slices.SortStableFunc(out, func(a, b doing) int { return cmp.Compare(a.Start, b.Start) })
	return out
}

// time fills in when an act is, and reports whether that is known.
func (s *Service) time(x *doing, o *order, now time.Duration) bool {
	f, done := o.done(x.Act)
	switch {
	case done:
		x.Start, x.End = moment(f.Start), moment(f.End)
	case x.kind == cueAct && o.brew >= 0:
		lane := s.brews[o.brew].lane
		start, end := lane.Span(x.Cue)
		x.Start, x.End = lane.Zero()+start, lane.Zero()+end
		if how, at, _ := lane.Ending(); how != brew.Running && start > at {
			x.Start, x.End = lane.Zero()+at, lane.Zero()+at
		}
		x.begun, x.over = x.Start <= now, x.End <= now
		return true
	case o.timing != nil && x.Act < len(o.timing.Starts):
		x.Start = moment(o.timing.Starts[x.Act])
		x.End = x.Start + moment(s.dish(x.Order).Pattern.Acts[x.Act].Length)
	default:
		return false
	}
	if o.brew < 0 && x.kind != choreBefore {
		late := max(now-moment(o.zero()), 0)
		x.Start, x.End, x.Late = x.Start+late, x.End+late, x.Zero && (late > 0 || o.waits)
		return true
	}
	x.begun, x.over = x.Start <= now, x.End <= now
	return true
}

// zero returns the planned tick of the order's zero.
func (o *order) zero() int {
	if o.timing == nil {
		return MostHorizon
	}
	return o.timing.Zero
}

// whoDoes returns who does an act, -1 for one that needs no hands. Where more is
// done at once than there are hands it is whoever did the brew's act before.
func (s *Service) whoDoes(o *order, a int) int {
	if !slices.Contains(s.dishOf(o).Pattern.Acts[a].Uses, Hands) {
		return -1
	}
	for ; a >= 0; a-- {
		if a < len(o.who) && o.who[a] >= 0 && o.who[a] < len(s.people) {
			return o.who[a]
		}
	}
	return 0
}

func (s *Service) dishOf(o *order) *Dish {
	if o.taken != nil {
		return o.taken
	}
	return &s.menu[o.Dish]
}
