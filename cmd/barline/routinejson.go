package main

import (
	"time"

	"barline/brew/routine"
	"barline/recipes"
)

// The JSON of a routine's plan, schema 1. Seconds go to 0.001.
type jsonRoutine struct {
	Schema   int            `json:"schema"`
	Name     string         `json:"name"`
	Version  string         `json:"version"`
	LimitS   float64        `json:"limit_s"`
	EndS     float64        `json:"end_s"`
	Proven   bool           `json:"proven"`  // no plan ends sooner
	BoundS   float64        `json:"bound_s"` // none ends before
	Moved    bool           `json:"moved"`   // steps come later than written
	Rules    jsonRules      `json:"rules"`
	Sections []jsonStretch  `json:"sections"`
	Brews    []jsonCup      `json:"brews"`
	Sheet    []jsonEntry    `json:"sheet"`
	Slack    []jsonRoom     `json:"slack"` // the least first
	Gains    []jsonGain     `json:"gains"`
	Faults   []checkedFault `json:"warnings"`
}

type jsonRules struct {
	Points  int           `json:"points"`
	Count   routine.Count `json:"count"`
	Cap     int           `json:"cap"`
	OutS    float64       `json:"out_s"`
	Assumed []string      `json:"assumed"` // to be checked against the current rules
}

type jsonStretch struct {
	Name   string  `json:"name"`
	StartS float64 `json:"start_s"`
	EndS   float64 `json:"end_s"`
}

type jsonCup struct {
	ID     string  `json:"id"`
	Recipe string  `json:"recipe"`
	ZeroS  float64 `json:"zero_s"`
}

type jsonEntry struct {
	Kind   string   `json:"kind"` // call, section, cue or line
	StartS float64  `json:"start_s"`
	EndS   float64  `json:"end_s"`
	Who    string   `json:"who"`
	What   string   `json:"what"`
	Tied   string   `json:"tied"`
	ScaleG *float64 `json:"scale_g"`
	Asked  bool     `json:"asked"`
}

type jsonRoom struct {
	What string  `json:"what"`
	AtS  float64 `json:"at_s"`
	MayS float64 `json:"may_wait_s"`
}

type jsonGain struct {
	What   []string `json:"what"`
	ByS    float64  `json:"by_s"`
	Proven bool     `json:"proven"`
}

var entryKinds = map[routine.EntryKind]string{routine.ACall: "call", routine.ASection: "section", routine.ACue: "cue", routine.ALine: "line"}

func routineJSON(p *routine.Plan, search *routine.Search, rooms []routine.Room, gains []routine.Gain, faults recipes.Faults) jsonRoutine {
	out := jsonRoutine{
		Schema: 1, Name: p.Name, Version: p.Version, LimitS: inSeconds(p.Limit), EndS: inSeconds(p.End),
		Proven: search.Proven(), BoundS: inSeconds(time.Duration(search.Bound()) * time.Second), Moved: search.Moved(),
		Rules:    jsonRules{p.Rules.Points, p.Rules.Count, p.Rules.Cap, inSeconds(p.Rules.Out), append([]string{}, p.Assumed...)},
		Sections: []jsonStretch{}, Brews: []jsonCup{}, Sheet: []jsonEntry{}, Slack: []jsonRoom{}, Gains: []jsonGain{},
		Faults: fileFaults("", faults).Faults,
	}
	for _, s := range p.Sections {
		out.Sections = append(out.Sections, jsonStretch{s.Name, inSeconds(s.Start), inSeconds(s.End)})
	}
	for _, c := range p.Cups {
		out.Brews = append(out.Brews, jsonCup{c.ID, c.Recipe, inSeconds(c.Zero)})
	}
	for _, e := range p.Sheet() {
		out.Sheet = append(out.Sheet, jsonEntry{entryKinds[e.Kind], inSeconds(e.Start), inSeconds(e.End), e.Who, e.What, e.Note, some(e.Scale.Grams(), e.OnScale), e.Asked})
	}
	for _, r := range rooms {
		out.Slack = append(out.Slack, jsonRoom{r.What, inSeconds(r.At), inSeconds(r.Wait)})
	}
	for _, g := range gains {
		out.Gains = append(out.Gains, jsonGain{g.What, inSeconds(g.By), g.Proven})
	}
	return out
}
