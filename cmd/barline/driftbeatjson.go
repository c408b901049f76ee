package main

import (
	"time"

	"barline/brew/drift"
	"barline/brew/drift/stat"
)

// jsonBeatOf is a column in JSON: its summaries, its charts, of which each
// flagged point stands with its brew, and its trend.
type jsonBeatOf struct {
	Column  drift.Column    `json:"column"`
	By      drift.Measure   `json:"charts_by"`
	Figures []drift.Summary `json:"figures"`
	Weight  *drift.Summary  `json:"weight"`
	Charts  []jsonChart     `json:"charts"`
	Trend   drift.Trend     `json:"trend"`
}

type jsonChart struct {
	Version  string        `json:"version"`
	Limits   *stat.Limits  `json:"limits"`
	Withheld drift.Reason  `json:"withheld"`
	Frozen   bool          `json:"frozen"`
	Lacks    int           `json:"lacks"`    // brews of a frozen baseline that are not among these
	Baseline int           `json:"baseline"` // brews
	Judged   int           `json:"judged"`
	Outside  int           `json:"outside"`
	Ranging  int           `json:"ranges_outside"` // of those judged, moving ranges beyond their limit
	ByChance float64       `json:"by_chance"`
	Word     string        `json:"word"`
	Words    string        `json:"words"` // the same in full
	Rate     float64       `json:"rate"`  // how often either may be chance alone
	EWMA     int           `json:"ewma_signals"`
	CUSUM    int           `json:"cusum_signals"`
	Flagged  []jsonPointOf `json:"flagged"`
}

type jsonPointOf struct {
	Brew  string    `json:"brew"`
	Start time.Time `json:"start"`
	Value float64   `json:"value"`
	Rules []string  `json:"rules"`
}

func (b beatTold) json() *jsonBeatOf {
	out := &jsonBeatOf{Column: b.column, By: b.series.Measure, Figures: b.rows, Weight: b.weight, Charts: []jsonChart{}, Trend: b.trend}
	for _, c := range b.charts {
		out.Charts = append(out.Charts, b.jsonChart(c))
	}
	return out
}

func (b beatTold) jsonChart(c drift.Chart) jsonChart {
	out := jsonChart{Version: c.Version, Withheld: c.Withheld, Frozen: c.Frozen, Lacks: c.Lacks, Baseline: c.Judge - c.From, Judged: len(c.Points) - c.Judge,
		Outside: c.Outside, Ranging: c.RangesOutside, ByChance: c.ByChance, Word: c.Word(b.rate()), Words: c.Words(b.rate()), Rate: b.rate(), Flagged: []jsonPointOf{}}
	if c.Withheld == "" {
		out.Limits = &c.Limits
	}
	for i, r := range c.Rules {
		if c.EWMA[i].Out() {
			out.EWMA++
		}
		if c.CUSUM[i].Out {
			out.CUSUM++
		}
		if r == 0 {
			continue
		}
		n := c.Points[c.Judge+i]
		point := jsonPointOf{Brew: b.idOf(n), Start: b.series.Start(n), Value: b.series.Values[n]}
		for k, rule := range stat.Rules() {
			if r.Has(k) {
				point.Rules = append(point.Rules, rule.ID)
			}
		}
		out.Flagged = append(out.Flagged, point)
	}
	return out
}
