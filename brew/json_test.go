package brew_test

import (
	"testing"

	"pgregory.net/rapid"

	"barline/brew"
)

func TestAPlanSurvivesJSON(t *testing.T) {
	for name, r := range shared() {
		p := planned(t, r)
		same(t, name, through(t, p), p)
		same(t, name+", every edge asked", through(t, p.WithMarks(brew.MarksAll)), p.WithMarks(brew.MarksAll))
	}
	p := planned(t, quayside())
	same(t, "the documentation's", through(t, p), p)
}

func TestEveryDrawnPlanSurvivesJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		same(t, "plan", through(t, p), p)
	})
}

func TestAnEventSurvivesJSON(t *testing.T) {
	for name, e := range map[string]brew.Event{
		"a start in the middle": {Kind: brew.EventStart, Lane: 2, At: -3 * s, From: 30 * s, Source: brew.FromFootSwitch},
		"a mark with a weight":  {Kind: brew.EventMark, At: 1, Weight: weight(51.5), Source: brew.FromScale},
		"a mark of nothing":     {Kind: brew.EventMark, At: 1, Weight: weight(0)},
		"a note":                {Kind: brew.EventNote, At: s, Text: "the kettle — « ran »\ndry \"again\" \u2028"},
		"a move":                {Kind: brew.EventMoved, At: s, Cue: 7, To: 90*s + 1, Source: brew.FromClock},
	} {
		same(t, name, through(t, e), e)
	}
}

func TestAReplayFromJSONIsTheSameLane(t *testing.T) {
	p := planned(t, quayside())
	was := brewed(t, p, script(t, "start 3 from 4, zero again 9, note 10, moved 12 cue 2 to 40, mark 15, undo 16, mark 17, nudge 18, skip 45, mark 200, finish 220, undo 221")...)
	now := brewed(t, through(t, p), through(t, was.Events())...)
	same(t, "lane", now, was)
	same(t, "what it shows", seen(now.At(60*s)), seen(was.At(60*s)))
	same(t, "spans", spans(now), spans(was))
}

func TestAReading(t *testing.T) {
	strength := brew.Percent(1.4)
	for name, test := range map[string]struct {
		reading brew.Reading
		empty   bool
	}{
		"nothing":       {brew.Reading{}, true},
		"a weight":      {brew.Reading{Beverage: weight(180)}, false},
		"a strength":    {brew.Reading{Strength: &strength}, false},
		"a taste alone": {brew.Reading{Taste: "sweet"}, false},
	} {
		same(t, name, test.reading.Empty(), test.empty)
		same(t, name+" through JSON", through(t, test.reading), test.reading)
	}
}
