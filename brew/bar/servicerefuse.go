package bar

import (
	"fmt"
	"time"

	"barline/brew"
)

// LongestService is for how long a service takes orders: the planner counts no
// further than MostHorizon.
const LongestService = 24 * time.Hour

// refuses returns why the event makes no sense now, "" where it does.
func (s *Service) refuses(e ServiceEvent) string {
	if e.At < 0 || e.At > moment(MostHorizon) {
		return "a service lasts a day"
	}
	switch e.Kind {
	case OrderPlaced:
		switch {
		case e.At > LongestService:
			return "a service takes orders for a day; close it and open another"
		case s.closed:
			return "the service is closed"
		case e.Ticket.Dish < 0 || e.Ticket.Dish >= len(s.menu):
			return "there is no such recipe"
		}
		return ""
	case KitChanged:
		return s.refusesKit(e.Out)
	case PeopleChanged:
		if len(e.People) == 0 {
			return "somebody must be at work"
		}
		return ""
	case MenuChanged:
		if e.Plan == nil || e.Dish < 0 || e.Dish > len(s.menu) {
			return "there is no such recipe"
		}
		return ""
	case PlanAdopted:
		return s.refusesPlan(e.Schedule)
	case KettleEmpty:
		return ""
	case ServiceClosed:
		if s.closed {
			return "the service is closed already"
		}
		return ""
	}
	if e.Order < 0 || e.Order >= len(s.orders) {
		return "there is no such order"
	}
	return s.refusesFor(&s.orders[e.Order], e)
}

// refusesFor is refuses for what happens to one order.
func (s *Service) refusesFor(o *order, e ServiceEvent) string {
	over := s.overAt(e.Order, e.At)
	switch e.Kind {
	case OrderNamed:
		return ""
	case OrderRemade:
		if s.closed {
			return "the service is closed"
		}
		return ""
	case OrderCancelled:
		switch {
		case o.cancelled:
			return "it is cancelled already"
		case over:
			return "it is served already"
		}
		return ""
	case OrderHeld, OrderMovedUp:
		switch {
		case o.cancelled || over:
			return "it is over"
		case o.brew >= 0:
			return "its brew has begun"
		case e.Kind == OrderHeld && e.Until > 0 && e.Until <= e.At:
			return "that moment is past"
		}
		return ""
	case OrderReleased:
		if !o.held {
			return "it is not held"
		}
		return ""
	case ChoreDone:
		d := s.dish(e.Order)
		if e.Act < 0 || e.Act >= len(d.kinds) || d.kinds[e.Act] == cueAct || d.kinds[e.Act] == gapAct {
			return "there is no such chore"
		}
		if o.cancelled || (d.kinds[e.Act] == choreAfter) != (o.brew >= 0) {
			return "it is not its time"
		}
		return ""
	case BrewEvent:
		return s.refusesBrew(o, e.Brew.Kind)
	case StartTakenBack:
		return s.refusesBack(o, e.At)
	}
	return "there is no such event"
}

func (s *Service) refusesKit(out Kit) string {
	usable := Kit{Brewers: max(s.kit.Brewers, 1), Kettles: max(s.kit.Kettles, 1)}
	usable.Scales = s.kit.Scales
	if usable.Scales == 0 {
		usable.Scales = usable.Brewers
	}
	switch {
	case out.Brewers < 0 || out.Kettles < 0 || out.Scales < 0:
		return "fewer than none cannot be out of use"
	case out.Brewers > usable.Brewers:
		return fmt.Sprintf("there are only %d brewers", usable.Brewers)
	case out.Kettles >= usable.Kettles:
		return "one kettle must stay; say until when it is empty"
	case out.Scales >= usable.Scales:
		return "one scale must stay"
	}
	return ""
}

func (s *Service) refusesBrew(o *order, kind brew.EventKind) string {
	switch {
	case kind == brew.EventMoved:
		return "what must wait is said by the plan"
	case kind == brew.EventStart && o.cancelled:
		return "it is cancelled"
	case kind == brew.EventStart && o.brew >= 0:
		return "its brew has begun already"
	case kind != brew.EventStart && o.brew < 0:
		return "its brew has not begun"
	}
	return ""
}

func (s *Service) refusesBack(o *order, at time.Duration) string {
	switch {
	case o.brew < 0:
		return "its brew has not begun"
	case o.cancelled:
		return "it is cancelled"
	}
	lane := s.brews[o.brew].lane
	switch how, _, _ := lane.Ending(); {
	case how != brew.Running:
		return "its brew is over"
	case lane.Last() >= 0:
		return "a start cannot be taken back after a mark"
	case at-lane.Zero() > brew.ZeroWithin:
		return "a start can be taken back only in the first " + brew.Spoken(brew.ZeroWithin)
	}
	return ""
}
