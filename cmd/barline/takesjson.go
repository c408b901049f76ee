package main

import (
	"time"

	"barline/brew/routine"
)

// The JSON of takes, schema 1. Seconds go to 0.001; null where nothing is
// known.
type jsonTakes struct {
	Schema   int        `json:"schema"`
	Routine  string     `json:"routine"`
	Version  string     `json:"version"`
	Dry      bool       `json:"dry"`
	LeftOut  jsonRest   `json:"left_out"`
	Sections []jsonRow  `json:"sections"`
	Whole    jsonRow    `json:"whole"`
	Losing   []string   `json:"losing"` // sections where time is lost on most takes
	Alike    jsonAlike  `json:"alike"`
	Takes    []jsonTake `json:"takes"` // oldest first
}

type jsonRest struct {
	Water   int `json:"water"` // with or without it, as those that count are not
	Partial int `json:"partial"`
	Stopped int `json:"stopped"`
	CutOff  int `json:"cut_off"`
	Speed   int `json:"speed"`
	Version int `json:"version"`
	Broken  int `json:"broken"`
}

type jsonRow struct {
	Name     string   `json:"name"`
	WrittenS float64  `json:"written_s"`
	LatestS  float64  `json:"latest_s"`
	BestS    float64  `json:"best_s"`
	MedianS  *float64 `json:"median_s"`
	SpreadS  *float64 `json:"spread_s"`
	TrendS   *float64 `json:"trend_s"` // a take
	Steady   bool     `json:"steady"`  // that is no more than chance gives
	SlipS    *float64 `json:"slip_s"`
	Lost     int      `json:"lost"`
}

type jsonAlike struct {
	Takes  int     `json:"takes"`
	Beats  int     `json:"beats"`
	RangeS float64 `json:"range_s"`
	Worst  string  `json:"worst"`
	WideS  float64 `json:"wide_s"`
}

type jsonTake struct {
	ID       string          `json:"id"`
	Begun    time.Time       `json:"begun"`
	Person   string          `json:"person"`
	LengthS  float64         `json:"length_s"`
	Points   int             `json:"points"`
	Out      bool            `json:"out"`
	OverS    float64         `json:"over_s"`
	TalkS    *float64        `json:"talk_s"`
	HandsS   *float64        `json:"hands_s"`
	BedS     *float64        `json:"bed_s"`
	Sections []jsonSection   `json:"sections"`
	Line     []jsonLinePoint `json:"line"` // the drift that built up
}

type jsonSection struct {
	Name  string   `json:"name"`
	TookS *float64 `json:"took_s"`
	SlipS *float64 `json:"slip_s"`
}

type jsonLinePoint struct {
	AtS    float64       `json:"at_s"`
	DriftS float64       `json:"drift_s"`
	Voice  routine.Voice `json:"voice"`
}

func takesJSON(t taken, table routine.Table) jsonTakes {
	out := jsonTakes{
		Schema: 1, Routine: t.routine, Version: t.pool.Version, Dry: t.pool.Dry,
		LeftOut: jsonRest{t.wet, t.partial, t.stopped, t.cut, t.slow, t.older, len(t.broken)},
		Whole:   rowJSON(table.Whole), Sections: []jsonRow{}, Losing: []string{}, Takes: []jsonTake{},
		Alike: jsonAlike{table.Alike.Takes, table.Alike.Beats, inSeconds(table.Alike.Range), table.Alike.Worst, inSeconds(table.Alike.Wide)},
	}
	for _, r := range table.Sections {
		out.Sections = append(out.Sections, rowJSON(r))
	}
	for _, i := range table.Losing {
		out.Losing = append(out.Losing, table.Sections[i].Name)
	}
	for _, r := range t.takes {
		out.Takes = append(out.Takes, takeJSON(r))
	}
	return out
}

func figureJSON(f routine.Figure) *float64 { return some(inSeconds(f.Value), f.Known) }

func sumJSON(s routine.Sum) *float64 { return some(inSeconds(s.Slip), s.Marks > 0) }

func rowJSON(r routine.Row) jsonRow {
	return jsonRow{r.Name, inSeconds(r.Written), inSeconds(r.Took[len(r.Took)-1]), inSeconds(r.Best),
		figureJSON(r.Median), figureJSON(r.Spread), figureJSON(r.Trend), r.Steady, figureJSON(r.Slip), r.Lost}
}

func takeJSON(r routine.Result) jsonTake {
	out := jsonTake{
		ID: r.ID, Begun: r.Start, Person: r.Person, LengthS: inSeconds(r.Length()), Points: r.Penalty.Points, Out: r.Penalty.Out,
		OverS: inSeconds(r.Penalty.Over), TalkS: sumJSON(r.Talk), HandsS: sumJSON(r.Hands), BedS: sumJSON(r.Bed),
		Sections: []jsonSection{}, Line: []jsonLinePoint{},
	}
	for _, s := range r.Sections {
		out.Sections = append(out.Sections, jsonSection{s.Name, some(inSeconds(s.Took), s.Known), sumJSON(s.Slip)})
	}
	for _, p := range r.Line() {
		out.Line = append(out.Line, jsonLinePoint{inSeconds(p.Written), inSeconds(p.Drift), p.Voice})
	}
	return out
}

// The JSON of two takes beside each other, schema 1.
type jsonCompare struct {
	Schema int        `json:"schema"`
	A      jsonTake   `json:"a"`
	B      jsonTake   `json:"b"`
	Beats  []jsonPair `json:"beats"`
}

type jsonPair struct {
	Key      string        `json:"key"`
	Name     string        `json:"name"`
	Voice    routine.Voice `json:"voice"`
	Section  string        `json:"section"`
	WrittenS [2]float64    `json:"written_s"`
	DriftS   [2]*float64   `json:"drift_s"`
	SlipS    [2]*float64   `json:"slip_s"`
}

func compareJSON(a, b routine.Result, pairs []routine.Pair) jsonCompare {
	out := jsonCompare{Schema: 1, A: takeJSON(a), B: takeJSON(b), Beats: []jsonPair{}}
	for _, p := range pairs {
		out.Beats = append(out.Beats, jsonPair{p.Key, p.Name, p.Voice, p.Section, [2]float64{inSeconds(p.Written[0]), inSeconds(p.Written[1])},
			[2]*float64{figureJSON(p.Drift[0]), figureJSON(p.Drift[1])}, [2]*float64{figureJSON(p.Slip[0]), figureJSON(p.Slip[1])}})
	}
	return out
}
