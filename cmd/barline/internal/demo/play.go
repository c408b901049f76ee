package demo

import (
	"time"

	"barline/brew"
)

// player brews one brew at the keys.
type player struct {
	*year
	order
	lane    brew.Lane
	watched *test        // that the brew counts for; nil for none
	missed  map[int]bool // beats whose mark will not come
	source  brew.Source
}

// How often something happens that need not, a brew or a mark.
const (
	footSwitch = 0.2   // brews marked with the foot
	zeroAgain  = 0.005 // brews whose first water dribbled
	breakOff   = 0.012 // brews that are stopped
	cutOff     = 0.005 // brews that nobody ended
	slipKey    = 0.01  // marks with a wrong press before them, taken back
	laterKey   = 0.015 // marks pressed late and nudged
	skips      = 0.004 // marks with the next step skipped
	remark     = 0.01  // marks with a word for the record
	weighs     = 0.25  // pours whose weight is noted
)

var reasons = []string{"a spill", "wrong dose", "the cone tipped", "the guest left"}

var remarks = []string{"the kettle had to be put down", "a fine smell", "grounds on the wall", "the queue is long", "swirled once more"}

// brew brews to the end, whatever that is.
func (p *player) brew() {
	p.missed, p.source = map[int]bool{}, brew.FromKey
	if p.chance(footSwitch) {
		p.source = brew.FromFootSwitch
	}
	breaks, cut := p.oddly(breakOff), p.oddly(cutOff)
	p.try(brew.Event{Kind: brew.EventStart})
	if p.oddly(zeroAgain) {
		p.try(brew.Event{Kind: brew.EventZero, At: p.between(2, 4)})
	}
	leave := 1 + p.draw.IntN(3) // after so many beats, if at all
	for n := p.next(); n >= 0; n = p.next() {
		if leave--; leave == 0 && cut {
			return
		}
		if leave == 0 && breaks {
			p.try(brew.Event{Kind: brew.EventStop, At: p.now() + p.between(2, 9), Text: reasons[p.draw.IntN(len(reasons))]})
			return
		}
		p.beat(n)
	}
	if at, ok := p.lane.EndsItself(); ok {
		p.try(brew.Event{Kind: brew.EventFinish, At: p.lane.Zero() + at, Source: brew.FromClock})
	}
}

func (p *player) chance(of float64) bool { return p.draw.Float64() < of }

// oddly is chance, but nothing odd happens to somebody who is watched.
func (p *player) oddly(of float64) bool { return p.chance(of) && p.watched == nil }

// between draws a length, both bounds in seconds.
func (p *player) between(a, b float64) time.Duration { return seconds(a + p.draw.Float64()*(b-a)) }

// now returns the moment of the latest event.
func (p *player) now() time.Duration {
	all := p.lane.Events()
	return all[len(all)-1].At
}

// next returns the beat that is called next of those that wait for a mark that
// will come, -1 for none.
func (p *player) next() int {
	best := -1
	for n, b := range p.lane.Plan().Beats {
		s := p.lane.Beat(n)
		if b.Asked && s.Status == brew.Waiting && !p.missed[n] && (best < 0 || s.Called < p.lane.Beat(best).Called) {
			best = n
		}
	}
	return best
}

// try applies an event if it makes sense, and says what it did.
func (p *player) try(e brew.Event) brew.Outcome {
	if e.Source == "" {
		e.Source = p.source
	}
	lane, out := p.lane.Apply(e)
	if out.Effect == brew.Taken {
		p.lane = lane
	}
	return out
}

// beat marks beat n, or misses it. Where the key would be taken for another
// beat, or for none, it is pressed a little later.
func (p *player) beat(n int) {
	b := p.lane.Plan().Beats[n]
	if p.oddly(p.person.misses) {
		p.missed[n] = true
		return
	}
	at := max(p.lane.Zero()+p.lane.Beat(n).Called+seconds(p.slip(b)), p.now()+500*time.Millisecond)
	mark := brew.Event{Kind: brew.EventMark, At: at, Weight: p.weigh(b)}
	late := false
	switch {
	case p.oddly(slipKey):
		p.wrongPress(n, at)
	case p.oddly(laterKey):
		mark.At, late = at+brew.Nudge, true
	}
	for !p.marks(n, mark) {
		if mark.At += 250 * time.Millisecond; mark.At > at+time.Minute {
			p.missed[n] = true
			return
		}
	}
	if late {
		p.try(brew.Event{Kind: brew.EventNudge, At: mark.At + p.between(0.5, 1)})
	}
	p.then(n)
}

// marks marks beat n, if that is the beat to which the mark would go.
func (p *player) marks(n int, e brew.Event) bool {
	was := p.lane
	if out := p.try(e); out.Effect == brew.Taken && out.Beat == n {
		return true
	}
	p.lane = was
	return false
}

// wrongPress marks beat n too early and takes that back.
func (p *player) wrongPress(n int, at time.Duration) {
	early := at - p.between(2, 3)
	if early > p.now() && p.marks(n, brew.Event{Kind: brew.EventMark, At: early}) {
		p.try(brew.Event{Kind: brew.EventUndo, At: early + p.between(0.6, 1.2)})
	}
}

// then is what may happen behind the mark of beat n.
func (p *player) then(n int) {
	if p.watched.distracts() && p.lastPour(p.lane.Plan().Beats[n]) {
		p.try(brew.Event{Kind: brew.EventNote, At: p.now() + time.Second, Text: "a guest asked the way"})
	}
	if p.oddly(remark) {
		p.try(brew.Event{Kind: brew.EventNote, At: p.now() + p.between(0.5, 2), Text: p.words()})
	}
	if !p.oddly(skips) {
		return
	}
	was := p.lane
	if out := p.try(brew.Event{Kind: brew.EventSkip, At: p.now() + p.between(0.3, 0.8)}); out.Effect == brew.Taken && p.lane.Plan().Cues[out.Cue].Action != brew.Swirl {
		p.lane = was // only a swirl is left out
	}
}

func (p *player) words() string {
	if p.kettleSlow(p.week) {
		return "the kettle was slow"
	}
	return remarks[p.draw.IntN(len(remarks))]
}

// weigh draws what the scale reads at the end of a pour, where it is noted.
func (p *player) weigh(b brew.Beat) *brew.Mass {
	cue := p.lane.Plan().Cues[b.Cue]
	if cue.Action != brew.Pour || !p.chance(weighs) {
		return nil
	}
	read := (cue.Scale + brew.Mass(p.draw.NormFloat64()*1.5*float64(brew.Gram))).Tenths()
	return &read
}
