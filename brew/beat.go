package brew

import (
	"cmp"
	"slices"
	"time"
)

// Edge is one end of a cue.
type Edge string

// The edges of a cue.
const (
	StartEdge Edge = "start"
	EndEdge   Edge = "end"
)

// Owner says whose doing a beat is.
type Owner string

// The end of a drawdown is the bed's and says nothing about the person.
const (
	Person Owner = "person"
	Bed    Owner = "bed"
)

// Policy says which beats are asked.
type Policy string

// The recipe's own choice, every beat, or none.
const (
	MarksAsked Policy = "asked"
	MarksAll   Policy = "all"
	MarksNone  Policy = "none"
)

// Point names one edge of one cue.
type Point struct {
	Cue  int // index into the plan's cues
	Edge Edge
}

// Beat is one edge of a cue on the written clock. Where a cue hangs directly
// behind another, the two edges are one beat.
type Beat struct {
	Point
	Also *Point // the other edge that is this same beat; nil for none
	// AlsoAsked says that the other edge is asked as well.
	AlsoAsked bool
	Key       string // 'second pour, end': the identity in statistics
	Name      string // for people
	Owner     Owner
	Due       time.Duration
	Window    Window
	Asked     bool
}

// Has reports whether the beat is the given edge of the cue.
func (b Beat) Has(cue int, e Edge) bool {
	p := Point{cue, e}
	return b.Point == p || b.Also != nil && *b.Also == p
}

// startOf and endOf return the cue that starts, or ends, with the beat, -1
// for none.
func (b *Beat) startOf() int { return b.cueOf(StartEdge) }
func (b *Beat) endOf() int   { return b.cueOf(EndEdge) }

func (b *Beat) cueOf(e Edge) int {
	if b.Edge == e {
		return b.Cue
	}
	if b.Also != nil && b.Also.Edge == e {
		return b.Also.Cue
	}
	return -1
}

// askedBeside reports whether the beat is asked for the sake of an edge other
// than the given one.
func (b *Beat) askedBeside(at Point) bool {
	return b.Asked && b.Also != nil && (b.Point != at || b.AlsoAsked)
}

// isNext reports whether the beat, which two cues share, is known as the start
// of the second.
func (b *Beat) isNext() bool { return b.Also != nil && b.Edge == StartEdge }

// order sorts beats of one moment: by cue, a start before the end.
func (b *Beat) order() int {
	if b.Edge == StartEdge {
		return 2 * b.Cue
	}
	return 2*b.Cue + 1
}

// placeBeats makes the beats of the cues' edges, one where two are the same.
func (p *Plan) placeBeats(r Recipe, bar Bar) {
	p.Beats = make([]Beat, 0, 2*len(p.Cues))
	for i := range p.Cues {
		c := &p.Cues[i]
		start := p.beat(r, bar, i, StartEdge)
		if c.shares() {
			before := p.Cues[c.Before].EndBeat
			p.Beats[before] = join(p.Beats[before], start)
		} else {
			p.Beats = append(p.Beats, start)
		}
		c.EndBeat = len(p.Beats)
		p.Beats = append(p.Beats, p.beat(r, bar, i, EndEdge))
	}
	slices.SortStableFunc(p.Beats, func(a, b Beat) int {
		return cmp.Or(cmp.Compare(a.Due, b.Due), cmp.Compare(a.order(), b.order()))
	})
	for n, b := range p.Beats {
		p.point(n, b.Point)
		if b.Also != nil {
			p.point(n, *b.Also)
		}
	}
}

func (p *Plan) point(beat int, at Point) {
	if at.Edge == StartEdge {
		p.Cues[at.Cue].StartBeat = beat
	} else {
		p.Cues[at.Cue].EndBeat = beat
	}
}

func (p *Plan) beat(r Recipe, bar Bar, cue int, e Edge) Beat {
	s, c := r.Steps[cue], &p.Cues[cue]
	at, key := Point{cue, e}, c.Key+", "+string(e)
	b := Beat{Point: at, Key: key, Name: key, Owner: Person, Due: p.written(at), Window: r.window(s, bar, e), Asked: s.asks(e)}
	if c.Name != c.Key {
		b.Name = c.Name + ", " + string(e)
	}
	if c.Action == Drawdown && e == EndEdge {
		b.Owner = Bed
	}
	return b
}

// beatOf returns the beat that an edge is.
func (p *Plan) beatOf(at Point) int {
	if at.Edge == StartEdge {
		return p.Cues[at.Cue].StartBeat
	}
	return p.Cues[at.Cue].EndBeat
}

// Asks reports whether an edge waits for a mark of its own: one that it shares
// with a cue before it is that one's.
func (p *Plan) Asks(at Point) bool {
	beat := p.Beats[p.beatOf(at)]
	return beat.Asked && beat.Point == at
}

// written returns when an edge is due.
func (p *Plan) written(at Point) time.Duration {
	if at.Edge == StartEdge {
		return p.Cues[at.Cue].Start
	}
	return p.Cues[at.Cue].End
}

// join makes the end of a cue and the start of the one behind it one beat. It
// is known by the edge that is asked, by the end where both are or neither,
// and it must satisfy the windows of every edge that is asked. It is the
// bed's where the end is: the person cannot go before the bed is done.
func join(end, start Beat) Beat {
	known, other := end, start
	if start.Asked && !end.Asked {
		known, other = start, end
	}
	if start.Asked && end.Asked {
		known.Window = start.Window.narrowest(end.Window)
	}
	known.Also, known.AlsoAsked, known.Owner = &other.Point, other.Asked, end.Owner
	return known
}

// window returns how far the given edge of a step may be off: the step's own,
// else the recipe's, else the bar's.
func (r Recipe) window(s Step, bar Bar, e Edge) Window {
	own := s.Start
	if e == EndEdge {
		own = s.End
	}
	switch {
	case own != nil:
		return *own
	case r.Window != nil:
		return *r.Window
	}
	return bar.window()
}

// WithMarks returns the plan with every beat asked, or none, or as it is. The
// very first start is never asked: the brew's own start is its mark. Keys and
// windows stay, so that the same beat is judged alike under every policy.
func (p *Plan) WithMarks(policy Policy) *Plan {
	if policy != MarksAll && policy != MarksNone {
		return p
	}
	out := *p
	out.Beats = slices.Clone(p.Beats)
	for i := range out.Beats {
		asked := policy == MarksAll && !out.Beats[i].Has(0, StartEdge)
		out.Beats[i].Asked, out.Beats[i].AlsoAsked = asked, asked && out.Beats[i].Also != nil
	}
	return &out
}
