package bar

import "fmt"

// Resource is something of which there are only so many at the bar.
type Resource struct {
	Name     string
	Capacity int // how many acts may use it at once, at least 1
}

// Act is one thing to do: a step of a recipe, or a chore around it.
type Act struct {
	Name   string
	Uses   []int // indices of resources used from its start to its end
	Start  int   // written start in ticks from the brew's zero; negative ahead of it
	Length int   // in ticks, at least 0
	Early  int   // how many ticks before Start it may begin
	Late   int   // how many ticks after
	Behind []int // indices of the acts that end before it begins
	Cue    int   // index of the plan's cue that it is; -1 for a chore
}

// rigid reports whether the act stands at a fixed distance from the zero.
func (a Act) rigid() bool { return a.Early == 0 && a.Late == 0 }

// Hold is a resource kept from the start of one act to the end of another.
type Hold struct {
	Resource int
	From, To int // acts
}

// Pattern is a recipe as the bar sees it.
type Pattern struct {
	Name  string
	Acts  []Act
	Holds []Hold
	Done  int // the act whose end makes the brew ready
}

// Order is one brew that somebody waits for. The zero Order beyond Pattern
// and Placed is one that has not begun.
type Order struct {
	Pattern int
	Placed  int // when it was ordered; nothing of it begins sooner
	Name    string
	Cups    int  // for people; it does not change the plan
	Passed  int  // how many orders that came later go ahead of it beside those that stand behind it here
	Begun   bool // the zero is past and stays
	Zero    int  // of an order that has begun
	Fixed   []Fixed
	Wider   []Wide
}

// Wide opens the window of one act of an order by so many ticks, because
// things have gone so that it cannot be kept: see Relief.
type Wide struct {
	Act         int
	Early, Late int
}

// Fixed is an act that is done or under way, as it really was.
type Fixed struct {
	Act        int
	Start, End int
}

// Link asks that an act of one order begins at least so many ticks after
// another act began; Least may be negative.
type Link struct {
	From, FromAct int // order and act
	To, ToAct     int
	Least         int
}

// Goal is what a plan is good for.
type Goal int

// A plan has least waiting, then the earliest end; or one of them alone.
const (
	WaitThenEnd Goal = iota
	Wait
	End
)

// Problem is what is to be planned. Orders stand in order of arrival.
type Problem struct {
	Resources []Resource
	Patterns  []Pattern
	Orders    []Order
	Links     []Link
	Horizon   int  // every act ends by it; at most MostHorizon
	Now       int  // what is not fixed begins no sooner
	Goal      Goal // its zero is the bar's own criterion
	InTurn    bool // orders of one pattern begin in order of arrival
	Passing   int  // how many later orders may begin before an order does; negative for any number
}

// MostHorizon is the longest plan in ticks: a day and some hours.
const MostHorizon = 100_000

// Valid returns what is wrong with the problem itself, nil for nothing.
func (p *Problem) Valid() error {
	if p.Horizon < 0 || p.Horizon > MostHorizon {
		return fmt.Errorf("horizon %d is outside 0 to %d", p.Horizon, MostHorizon)
	}
	for _, r := range p.Resources {
		if r.Capacity < 1 {
			return fmt.Errorf("%s: capacity %d, at least 1 is needed", r.Name, r.Capacity)
		}
	}
	for _, pat := range p.Patterns {
		if err := pat.valid(len(p.Resources)); err != nil {
			return fmt.Errorf("%s: %w", pat.Name, err)
		}
	}
	for j, o := range p.Orders {
		if err := p.validOrder(j, o); err != nil {
			return fmt.Errorf("order %d: %w", j+1, err)
		}
	}
	for _, l := range p.Links {
		if !p.has(l.From, l.FromAct) || !p.has(l.To, l.ToAct) {
			return fmt.Errorf("link %+v names no act", l)
		}
	}
	return nil
}

func (p *Problem) has(order, act int) bool {
	return order >= 0 && order < len(p.Orders) && act >= 0 && act < len(p.pattern(order).Acts)
}

func (pat Pattern) valid(resources int) error {
	if len(pat.Acts) == 0 || pat.Done < 0 || pat.Done >= len(pat.Acts) {
		return fmt.Errorf("%d acts of which number %d makes it ready", len(pat.Acts), pat.Done)
	}
	for i, a := range pat.Acts {
		if a.Length < 0 || a.Early < 0 || a.Late < 0 {
			return fmt.Errorf("%s: length %d, window -%d +%d: none may be negative", a.Name, a.Length, a.Early, a.Late)
		}
		for _, b := range a.Behind {
			if b < 0 || b >= i {
				return fmt.Errorf("%s stands behind act %d, which is not above it", a.Name, b)
			}
		}
		for _, r := range a.Uses {
			if r < 0 || r >= resources {
				return fmt.Errorf("%s uses resource %d of %d", a.Name, r, resources)
			}
		}
	}
	for _, h := range pat.Holds {
		if h.Resource < 0 || h.Resource >= resources || h.From < 0 || h.To < h.From || h.To >= len(pat.Acts) {
			return fmt.Errorf("hold %+v names no resource or no acts", h)
		}
	}
	return nil
}

func (p *Problem) validOrder(j int, o Order) error {
	if o.Pattern < 0 || o.Pattern >= len(p.Patterns) {
		return fmt.Errorf("pattern %d of %d", o.Pattern, len(p.Patterns))
	}
	if o.Placed < 0 || j > 0 && o.Placed < p.Orders[j-1].Placed {
		return fmt.Errorf("placed at %d, before zero or the one above it", o.Placed)
	}
	for _, f := range o.Fixed {
		if f.Act < 0 || f.Act >= len(p.Patterns[o.Pattern].Acts) || f.End < f.Start {
			return fmt.Errorf("fixed act %+v cannot be", f)
		}
	}
	return nil
}

// pattern returns the pattern of an order.
func (p *Problem) pattern(order int) *Pattern { return &p.Patterns[p.Orders[order].Pattern] }

// soonest returns the first tick at which an order's free acts may begin.
func (p *Problem) soonest(order int) int { return max(p.Orders[order].Placed, p.Now) }

// fixed returns the act as it really was, and whether it was.
func (o *Order) fixed(act int) (Fixed, bool) {
	for _, f := range o.Fixed {
		if f.Act == act {
			return f, true
		}
	}
	return Fixed{}, false
}

// act returns an act with its window as it is for the order.
func (p *Problem) act(order, act int) Act {
	a := p.pattern(order).Acts[act]
	for _, w := range p.Orders[order].Wider {
		if w.Act == act {
			a.Early, a.Late = a.Early+w.Early, a.Late+w.Late
		}
	}
	return a
}

// length returns how long an act of the order takes.
func (p *Problem) length(order, act int) int {
	if f, is := p.Orders[order].fixed(act); is {
		return f.End - f.Start
	}
	return p.pattern(order).Acts[act].Length
}

// Rigid returns the problem with every window closed.
func (p *Problem) Rigid() *Problem {
	return p.withActs(func(a *Act) { a.Early, a.Late = 0, 0 })
}

// withActs returns a copy of the problem with every act changed.
func (p *Problem) withActs(change func(*Act)) *Problem {
	out := *p
	out.Patterns = make([]Pattern, len(p.Patterns))
	for i, pat := range p.Patterns {
		out.Patterns[i] = pat
		out.Patterns[i].Acts = append([]Act(nil), pat.Acts...)
		for k := range out.Patterns[i].Acts {
			change(&out.Patterns[i].Acts[k])
		}
	}
	return &out
}
