package service

import "time"

// At returns the moment of the service that the page has reached.
func (p Page) At() time.Duration { return p.at() }

// LaneKey returns the key of an order's lane.
func (p Page) LaneKey(order int) string { return p.lanes[order] }

// Typing reports whether a line is being typed.
func (p Page) Typing() bool { return p.ask.types() }

// Over reports whether the summary is shown.
func (p Page) Over() bool { return p.over }

// News reports whether something is being announced.
func (p Page) News() bool {
	c := p.cast()
	return c.next != nil && c.next.Start-p.at() <= p.opt.Ahead+time.Second
}

// Ready returns when an order's cup is ready, in the page's words.
func (p Page) Ready(order int) string { return p.readyText(p.look.Tickets[order]) }

// Quiet reports whether nothing stands over the lanes.
func (p Page) Quiet() bool { return p.help == 0 && p.ask.what == nothing }

// Markers returns whose mark each of the mark keys is.
func (k KeyMap) Markers(people int) []int { return k.markers(people) }
