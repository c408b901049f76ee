package probe_test

import (
	"testing"
	"time"

	"barline/tui/keys"
	"barline/tui/probe"

	tea "github.com/charmbracelet/bubbletea"
)

func stroke(t tea.KeyType, at int) keys.Press {
	return keys.Press{KeyMsg: tea.KeyMsg{Type: t}, At: time.Duration(at) * time.Millisecond}
}

// hold presses space at a moment and holds it down.
func hold(h probe.Hand, at, first, every, repeats int) probe.Hand {
	h = h.Press(stroke(tea.KeySpace, at), true)
	for i := range repeats {
		h = h.Press(stroke(tea.KeySpace, at+first+i*every), true)
	}
	return h
}

func TestHand(t *testing.T) {
	press := func(h probe.Hand, ats ...int) probe.Hand {
		for _, at := range ats {
			h = h.Press(stroke(tea.KeySpace, at), true)
		}
		return h
	}
	var none probe.Hand
	for name, c := range map[string]struct {
		hand    probe.Hand
		presses int
		held    string
	}{
		"nothing was pressed":               {none, 0, "none was held down"},
		"one press":                         {press(none, 1000), 1, "none was held down"},
		"a press a second":                  {press(none, 1000, 2000, 3000, 4000, 5000, 6000), 6, "none was held down"},
		"a held key":                        {hold(none, 1000, 400, 33, 30), 1, "space repeats after 400 ms, then every 33 ms (31 events), taken as one mark, as it should be"},
		"a held key that is slow to repeat": {hold(none, 1000, 1000, 40, 30), 2, "space repeats after 1000 ms, then every 40 ms (31 events), taken as 2 marks, and should be one"},
		"a held key that repeats too slowly for the guard": {hold(none, 1000, 500, 160, 20), 5, "space repeats after 500 ms, then every 160 ms (21 events), taken as 5 marks, and should be one"},
		"four events are not enough":                       {hold(none, 1000, 400, 33, 3), 1, "none was held down"},
		"a held key from the first moment on":              {hold(none, 0, 250, 30, 10), 1, "space repeats after 250 ms, then every 30 ms (11 events), taken as one mark, as it should be"},
		"a held key after a press long before":             {hold(press(none, 1000), 9000, 250, 30, 10), 2, "space repeats after 250 ms, then every 30 ms (11 events), taken as one mark, as it should be"},
		"the latest hold counts":                           {hold(hold(none, 1000, 400, 33, 30), 9000, 250, 20, 40), 2, "space repeats after 250 ms, then every 20 ms (41 events), taken as one mark, as it should be"},
		"a hold stays known after a press":                 {press(hold(none, 1000, 400, 33, 30), 9000), 2, "space repeats after 400 ms, then every 33 ms (31 events), taken as one mark, as it should be"},
	} {
		t.Run(name, func(t *testing.T) {
			if c.hand.Presses != c.presses || c.hand.Held.String() != c.held {
				t.Errorf("%d presses, %s; want %d, %s", c.hand.Presses, c.hand.Held, c.presses, c.held)
			}
		})
	}
}

func TestAKeyThatDoesNotMarkIsNamedAndNotCounted(t *testing.T) {
	h := hold(probe.Hand{}, 1000, 400, 33, 10)
	h = h.Press(stroke(tea.KeyF5, 3000), false)
	if h.Key != "f5" || h.Marks || h.Presses != 1 || h.Held.Events != 11 {
		t.Errorf("%+v", h)
	}
	if h = h.Press(stroke(tea.KeyPgDown, 3001), true); h.Key != "page-down" || !h.Marks || h.Presses != 2 {
		t.Errorf("%+v", h)
	}
	// Two keys in turn are not one held.
	for i := range 20 {
		h = h.Press(stroke([]tea.KeyType{tea.KeySpace, tea.KeyEnter}[i%2], 9000+i*30), true)
	}
	if h.Held.Events != 11 {
		t.Errorf("two keys in turn are taken for one held: %s", h.Held)
	}
}

// A hand is a value: what is done with a copy does not change it.
func TestAHandIsAValue(t *testing.T) {
	at := 1000
	after := func(h probe.Hand, from int, gaps ...int) probe.Hand {
		for at = from; len(gaps) > 0; gaps = gaps[1:] {
			at += gaps[0]
			h = h.Press(stroke(tea.KeySpace, at), true)
		}
		return h
	}
	before := after(probe.Hand{}, 1000, 0, 400, 30, 30, 30, 50, 50)
	from := at
	one := after(before, from, 50, 50, 50)
	end := at
	after(before, from, 10, 10, 10)
	if again := after(one, end, 50); again.Held.Every != 50*time.Millisecond {
		t.Errorf("every %s, want 50 ms", again.Held.Every)
	}
}
