package brew

import (
	"fmt"
	"time"
	"unicode/utf8"
)

// step checks one step by itself and against those above it. What hangs on an
// action that nobody knows is not looked at: it would be guesswork.
func (c *checker) step(i int) {
	s, l := c.recipe.Steps[i], c.laid[i]
	at := func(key string) Place { return Place{InSteps, i, key} }
	if _, known := s.Action.Usual(); !known {
		c.add(Error, at(""), "", "unknown action %q", string(s.Action))
		return
	}
	for _, t := range [...]struct{ key, text string }{
		{string(s.Action), s.Text}, {"label", s.Label}, {"why", s.Why}, {"caution", s.Caution}, {"id", s.ID},
	} {
		c.text(at(t.key), t.text)
	}
	c.length(at("over"), s.Over)
	c.window(at("window"), s.Start)
	c.window(at("window"), s.End)
	if l.end <= l.start {
		hint := "say how long with over: 30 s"
		if s.Action == Wait {
			hint = "say how long, such as wait: 30 s"
		}
		c.add(Error, at(""), hint, "%s needs a length", s.Action)
	}
	c.prompt(i)
	c.identity(i)
	c.start(i)
	c.weight(i)
	c.wisdom(i)
}

// prompt checks that what the person is told fits a line of a small screen.
func (c *checker) prompt(i int) {
	s, l := c.recipe.Steps[i], c.laid[i]
	place := Place{InSteps, i, string(s.Action)}
	prompt := c.recipe.prompt(s, l.end-l.start)
	c.prompts[i] = prompt
	if prompt == "" {
		c.add(Error, place, "", "nothing to do")
	} else if n := utf8.RuneCountInString(prompt); n > LongestPrompt {
		c.add(Error, place, "put the detail under why or caution",
			"prompt %q has %d characters, more than %d", prompt, n, LongestPrompt)
	}
}

// identity checks that no other step is known by the same key: statistics
// would take the two for one.
func (c *checker) identity(i int) {
	if c.recipe.Steps[i].ID == "" {
		return
	}
	for j, other := range c.names {
		if other.key == c.names[i].key && (j < i || j > i && c.recipe.Steps[j].ID == "") {
			c.add(Error, Place{InSteps, i, "id"}, "give it an id of its own", "id %q is that of step %d, too", other.key, j+1)
			return
		}
	}
}

// start checks that times stand in order. A step that hangs on the one before
// without an anchor of its own always does.
func (c *checker) start(i int) {
	s, l := c.recipe.Steps[i], c.laid[i]
	place := Place{InSteps, i, string(s.Anchor)}
	if s.Anchor != Directly {
		c.length(place, s.Offset)
	}
	if i == 0 {
		if l.start != 0 {
			c.add(Error, place, "leave out "+string(s.Anchor)+", and put what comes before the water under prepare",
				"the first step starts at 0:00, the moment water meets coffee, not at %s", Exact(l.start))
		} else if s.Action != Pour {
			c.add(Warning, Place{InSteps, 0, string(s.Action)}, "put what comes before the water under prepare",
				"the clock starts when water meets coffee, but the first step is %q", string(s.Action))
		}
		return
	}
	if blocker, moment := earliest(c.laid, i); l.start < moment {
		c.add(Error, place, fmt.Sprintf("start it at %s or later, or shorten what comes before", Exact(moment)),
			"%s starts at %s, but step %d, %s, runs from %s to %s", s.Action, Exact(l.start),
			blocker+1, c.recipe.Steps[blocker].Action, Exact(c.laid[blocker].start), Exact(c.laid[blocker].end))
		return
	}
	for j, above := range c.laid[:i] {
		if s.Action == Pour && c.recipe.Steps[j].Action == Pour && l.start < above.end {
			c.add(Error, place, fmt.Sprintf("start it at %s or later", Exact(above.end)),
				"pour starts at %s, but step %d pours until %s: the scale tells only one at a time", Exact(l.start), j+1, Exact(above.end))
			return
		}
	}
}

// weight checks what a step asks of the scale, the chamber and the seal. Of
// several faults of one amount the first is told: the rest follow from it.
func (c *checker) weight(i int) {
	s, l := c.recipe.Steps[i], c.laid[i]
	place := Place{InSteps, i, string(s.Action)}
	pours := s.Action == Pour || s.Action == Bypass
	switch {
	case pours && s.Amount <= 0:
		c.add(Error, place, "", "%s of %s, but water only adds", s.Action, s.Amount)
	case pours && s.Amount > MostWater:
		c.add(Error, place, "", "%s of %s is more than %s", s.Action, s.Amount, MostWater)
	case s.Action == Pour && !l.wasOn:
		c.add(Error, place, "put a tare step before it", "pour comes after the brewer left the scale, with no tare since")
	case s.Action == Pour && l.added <= 0:
		c.add(Error, place, "give the scale's reading since the last tare, or the amount to add without 'to'",
			"pour to %s, but the scale reads %s by then", s.Amount, l.scale-l.added)
	case s.Action == Pour && c.overfull(l):
		c.add(Error, place, "pour less, or brew in something larger",
			"%s, but the chamber holds %s and %s with the coffee would be in it",
			c.recipe.prompt(s, 0), c.recipe.Capacity, l.water+c.recipe.Dose)
	case s.Action == Flip && !l.closed:
		c.add(Error, place, "put a seal step before it: hot liquor scalds", "flip with no seal in force")
	}
}

// overfull reports whether a pour, rather than the recipe as a whole, brings
// more into the chamber than it holds.
func (c *checker) overfull(l laid) bool {
	r := c.recipe
	return r.Capacity > 0 && !r.Method.Drains() && l.water+r.Dose > r.Capacity && r.Water+r.Dose <= r.Capacity
}

// wisdom warns of what can be done but seldom should.
func (c *checker) wisdom(i int) {
	s, l, usual := c.recipe.Steps[i], c.laid[i], c.recipe.Steps[i].usual()
	length := l.end - l.start
	at := func(key string) Place { return Place{InSteps, i, key} }
	if s.Over > 0 && length < usual.Least && s.hands() == Busy {
		c.add(Warning, at("over"), "give it "+Spoken(usual.Least)+" or more",
			"%s in %s is too short to be done", s.Action, Spoken(length))
	}
	if flow := l.flow(s); flow > 0 && (flow < LeastFlow || flow > MostFlow) {
		c.add(Warning, at("over"), "give the water more or less time", "a flow of %s g/s is outside the usual %g to %g g/s",
			outside(flow, LeastFlow, MostFlow), LeastFlow, MostFlow)
	}
	if l.assumed && (s.asks(EndEdge) || c.hangs(i)) {
		c.add(Warning, at(string(s.Action)), "say it with over: "+Spoken(length),
			"the length of the %s is assumed, %s, and times are judged by it", s.Action, Spoken(length))
	}
	if s.Action != Press {
		return
	}
	if l.onScale {
		c.add(Warning, at("press"), "put {lift: off the scale} before it", "press with no lift before it: it would press on the scale")
	}
	if c.recipe.Server == ThinGlass {
		c.add(Warning, at("press"), "press onto steel, ceramic or thick glass", "press onto thin glass: it can break under the hand")
	}
}

// flow returns the grams a second of a pour or a bypass whose length is not
// the usual flow's, and 0 for everything else.
func (l laid) flow(s Step) float64 {
	amount := s.Amount
	if s.Action == Pour {
		amount = l.added
	} else if s.Action != Bypass {
		return 0
	}
	if s.Over <= 0 && s.held <= 0 {
		return 0
	}
	// Milligrams times nanoseconds are exact in a float64, so that a flow on
	// the edge of the usual is not pushed over it.
	return float64(amount) * float64(time.Second) / float64(l.end-l.start) / float64(Gram)
}

// hangs reports whether the start of a later step depends on this step's end.
func (c *checker) hangs(i int) bool {
	for j := i + 1; j < len(c.laid); j++ {
		if c.laid[j].before == i && c.recipe.Steps[j].Anchor != At {
			return true
		}
	}
	return false
}
