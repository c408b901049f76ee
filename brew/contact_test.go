package brew_test

import (
	"testing"
	"time"

	"barline/brew"
)

func TestContactTimeOfEachMethod(t *testing.T) {
	water, lift := pour(200, 20), after(10, act(brew.Lift, "", 2))
	drawdown, serve := act(brew.Drawdown, "", 60), act(brew.Serve, "", 5)
	press := act(brew.Press, "", 30)
	for _, test := range []struct {
		name   string
		recipe brew.Recipe
		want   float64 // seconds, -1 for none
	}{
		{"a press ends it with its end", method(brew.PressMethod, water, act(brew.Wait, "", 40), press, serve), 90},
		{"an inverted press does too", method(brew.InvertedPress, water, press, serve), 50},
		{"a press in two stages ends it with the second", method(brew.PressMethod, water, press, act(brew.Wait, "", 10), press), 90},
		{"a press without a press has none", method(brew.PressMethod, water, drawdown, serve), -1},
		{"a press before the last pour ends nothing", method(brew.PressMethod, water, press, pour(10, 2)), -1},
		{"a cone ends it when it has run dry", method(brew.Cone, water, drawdown, lift, serve), 80},
		{"a cone that is lifted sooner ends it there", method(brew.Cone, water, drawdown, pinned(50, act(brew.Lift, "", 2)), serve), 50},
		{"a flat bed that is served sooner ends it there", method(brew.FlatBed, water, drawdown, pinned(70, serve)), 70},
		{"a drawdown between pours ends nothing", method(brew.FlatBed, water, drawdown, pour(10, 2), drawdown), 142},
		{"a pot ends it with serving", method(brew.Pot, water, act(brew.Wait, "", 200), serve), 220},
		{"a pot that draws down goes on until it is served", method(brew.Pot, water, drawdown, serve, serve), 80},
		{"a bowl ends it with the break", method(brew.Cupping, water, act(brew.Wait, "", 220), act(brew.Break, "", 8), act(brew.Skim, "", 10)), 240},
		{"a bowl that is not broken has none", method(brew.Cupping, water, serve), -1},
		{"any other method ends it with a press first of all", method(brew.OtherMethod, water, drawdown, serve, press), 115},
		{"any other method else with a drawdown", method(brew.OtherMethod, water, serve, drawdown), 85},
		{"any other method else with serving", method(brew.OtherMethod, water, act(brew.Break, "", 8), serve), 28},
		{"any other method else with a break", method(brew.OtherMethod, water, act(brew.Wait, "", 8), act(brew.Break, "", 8)), 28},
		{"any other method may have none", method(brew.OtherMethod, water, lift), -1},
		{"it counts from the first pour", method(brew.PressMethod, act(brew.Do, "wet the paper", 7), water, press), 50},
	} {
		p := planned(t, test.recipe)
		got := -1.0
		if p.HasContact {
			got = p.Contact.Seconds()
		}
		same(t, test.name, got, test.want)
	}
}

func TestContactTimeLacksWhatTheMomentsLack(t *testing.T) {
	p := planned(t, method(brew.PressMethod, pour(200, 20), act(brew.Press, "", 30)))
	for _, test := range []struct {
		name string
		lack brew.Point
		ok   bool
	}{
		{"the first pour's start", brew.Point{Cue: 0, Edge: brew.StartEdge}, false},
		{"the press's end", brew.Point{Cue: 1, Edge: brew.EndEdge}, false},
		{"the press's start, which matters not", brew.Point{Cue: 1, Edge: brew.StartEdge}, true},
	} {
		_, ok := p.ContactBy(func(at brew.Point) (time.Duration, bool) { return 0, at != test.lack })
		same(t, test.name, ok, test.ok)
	}
}

func TestContactTimeOfALane(t *testing.T) {
	press := planned(t, method(brew.PressMethod, pour(200, 20), act(brew.Wait, "", 40), act(brew.Press, "", 30)))
	cone := planned(t, method(brew.Cone, pour(200, 20), act(brew.Drawdown, "", 60), after(5, act(brew.Serve, "", 5))))
	mark := func(at float64) brew.Event { return happens(brew.EventMark, at) }
	from := happens(brew.EventStart, 0)
	from.From = 30 * s
	type contact struct {
		seconds    float64
		marked, ok bool
	}
	for _, test := range []struct {
		name   string
		plan   *brew.Plan
		events []brew.Event
		want   contact
	}{
		{"before the start there is none", press, nil, contact{}},
		{"nothing marked, as called", press, []brew.Event{happens(brew.EventStart, 5)}, contact{90, false, true}},
		{"as marked", press, []brew.Event{happens(brew.EventStart, 5), mark(25), mark(65), mark(99)}, contact{94, true, true}},
		{"a late start carries to the end", press, []brew.Event{happens(brew.EventStart, 5), mark(25), mark(68)}, contact{93, false, true}},
		{"stopped on the way", press, []brew.Event{happens(brew.EventStart, 5), mark(25), happens(brew.EventStop, 60)}, contact{0, false, false}},
		{"the serving that never ends it need not be marked", cone, []brew.Event{happens(brew.EventStart, 0), mark(20), mark(82)}, contact{82, true, true}},
		{"stopped behind its end", cone, []brew.Event{happens(brew.EventStart, 0), mark(20), mark(82), happens(brew.EventStop, 84)}, contact{82, true, true}},
		{"entered in the middle", press, []brew.Event{from}, contact{0, false, false}},
	} {
		got := contact{}
		length, marked, ok := brewed(t, test.plan, test.events...).Contact()
		if got.marked, got.ok = marked, ok; ok {
			got.seconds = length.Seconds()
		}
		same(t, test.name, got, test.want)
	}
}

func TestAnEmptyPlanHasNoContactTime(t *testing.T) {
	_, ok := new(brew.Plan).ContactBy(func(brew.Point) (time.Duration, bool) { return 0, true })
	same(t, "has one", ok, false)
}
