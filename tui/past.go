package tui

import (
	"errors"
	"time"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/live"
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
)

// looked takes in what was found in the record at the start. A brew that was
// cut off is offered before anything else, unless one is under way already.
func (m Model) looked(msg lookedMsg) Model {
	m.told = msg.told
	switch {
	case len(msg.cuts) == 0:
		return m
	case m.live.Busy():
		m.told = "another brew was cut off: " + msg.cuts[0].Words[0]
		return m
	}
	m.cuts, m.before = msg.cuts, m.shown
	return m.offer()
}

// offer shows the page of the first brew that can be taken up, or without one
// the page that it was put before.
func (m Model) offer() Model {
	if len(m.cuts) == 0 {
		return m.show(m.before)
	}
	m.cutOff = pages.NewCutOff(m.cuts[0].Words, pages.DefaultCutOffKeys())
	return m.show(onCutOff)
}

// dropped goes on to the next offer.
func (m Model) dropped() Model {
	if len(m.cuts) > 0 {
		m.cuts = m.cuts[1:]
	}
	return m.offer()
}

// takeUp asks for the brew that is offered.
func (m Model) takeUp() tea.Cmd {
	if len(m.cuts) == 0 {
		return nil // a key has been quicker
	}
	cut := m.cuts[0]
	return func() tea.Msg {
		page, err := cut.TakeUp()
		return takenUpMsg{page, err}
	}
}

// takenUp goes on with the brew, or says why that cannot be. A page that was
// waiting for its start waits on.
func (m Model) takenUp(msg takenUpMsg) (Model, tea.Cmd) {
	if msg.err != nil {
		m.told = "it cannot be taken up: " + msg.err.Error()
		return m.dropped(), nil
	}
	if m.before == onLive {
		m.put, m.putAside = m.live, true
	}
	m.live, m.cuts = msg.page, nil
	m = m.show(onLive)
	return m, m.live.Init()
}

// left goes back from a live page to where it was come from.
func (m Model) left() (Model, tea.Cmd) {
	if m.reviewing != "" {
		m.reviewing = ""
		if m.alone {
			return m.show(onService), nil
		}
		return m.show(onRecord), nil
	}
	if m.putAside {
		m = m.leave(m.live)
		m.live, m.put, m.putAside = m.put, live.Page{}, false
		return m.show(onLive), nil
	}
	if m.alone {
		return m, tea.Quit
	}
	return m.leave(m.live).show(onShelf), nil
}

// tells reports whether what the person must know is on the screen: it does
// not cover a brew that is under way.
func (m Model) tells() bool { return m.told != "" && (m.shown != onLive || !m.live.Busy()) }

// drawTold draws what the person must know over the title, where the keys and
// what they start are still seen; on the page of an offer, whose head is what
// matters, over the last rows. Half of the screen is the most it takes.
func (m Model) drawTold(c *draw.Canvas) {
	lines := draw.WrapWhole("! "+m.told, m.width)
	lines = lines[:min(len(lines), max(m.height/2, 1))]
	top := 0
	if m.shown == onCutOff {
		top = m.height - len(lines)
	}
	for i, line := range lines {
		for x := range m.width {
			c.Set(x, top+i, 0, draw.Plain)
		}
		c.Text(0, top+i, line, draw.Caution)
	}
}

// reviewedMsg is the brew that is reviewed, read again.
type reviewedMsg struct {
	past pages.Past
	err  error
}

// measured passes the answer on. Of a brew of the record all is read again:
// what the reading was before it was corrected is part of that.
func (m Model) measured(msg live.MeasuredMsg) (Model, tea.Cmd) {
	m, cmd := m.pass(msg)
	if m.reviewing == "" || msg.Err != nil {
		return m, cmd
	}
	journal, id := m.opt.Journal, m.reviewing
	return m, tea.Batch(cmd, func() tea.Msg {
		past, err := journal.Past(id)
		return reviewedMsg{past, err}
	})
}

func (m Model) reviewed(msg reviewedMsg) Model {
	if msg.err == nil && msg.past.ID == m.reviewing {
		m.live = m.live.Retell(msg.past.Said)
	}
	return m
}

// review returns the debrief of a brew of the record.
func (m Model) review(past pages.Past) live.Page {
	return live.Review(live.Options{
		Plans: []*brew.Plan{past.Lane.Plan()}, Title: past.Recipe, By: past.Person, Kind: past.Kind,
		Speed: past.Conditions.Speed, CutOff: past.Conditions.CutOff, Said: past.Said,
		Keys: m.keys(), Theme: m.opt.Theme, Now: m.opt.Now,
		Recorder: pastRecorder{m.opt.Journal, past.ID},
	}, brew.TimelineOf(past.Lane), past.Reading)
}

// keys returns the keys of a debrief.
func (m Model) keys() live.KeyMap {
	if len(m.opt.Keys.Mark.Keys()) == 0 {
		return live.DefaultKeys()
	}
	return m.opt.Keys
}

// pastRecorder keeps readings of a brew that is over.
type pastRecorder struct {
	journal pages.Journal
	id      string
}

// Append keeps nothing: a brew that is over has no more events.
func (r pastRecorder) Append(int, brew.Event, time.Duration) error {
	return errors.New("the brew is over")
}

// Measure keeps what was said of the cup later.
func (r pastRecorder) Measure(said brew.Correction) error { return r.journal.Measure(r.id, said) }
