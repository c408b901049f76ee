package main

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"
	"time"

	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"
)

// driftSchema is the number of the form of drift's JSON.
const driftSchema = 1

// jsonDrift is what --json writes of one recipe. It is described in
// DEVELOPERS.md.
type jsonDrift struct {
	Schema   int             `json:"schema"`
	Recipe   string          `json:"recipe"`
	Kind     string          `json:"kind"`
	Measure  drift.Measure   `json:"measure"`
	Version  string          `json:"version"`
	Versions []string        `json:"versions"`
	Persons  []string        `json:"persons"`
	Brews    int             `json:"brews"`
	LeftOut  int             `json:"left_out"`
	First    time.Time       `json:"first"`
	Last     time.Time       `json:"last"`
	Table    []drift.Summary `json:"table,omitempty"`
	Page     *jsonPage       `json:"page,omitempty"`
	Where    *drift.Where    `json:"where,omitempty"`
	Cup      *driftCup       `json:"cup,omitempty"`
	Against  *jsonAgainst    `json:"against,omitempty"`
	Beat     *jsonBeatOf     `json:"beat,omitempty"`
	Leasts   []drift.Least   `json:"leasts"`
}

// jsonPage is a page whose findings name the brews they are about.
type jsonPage struct {
	Rate     float64       `json:"rate"`
	Looked   int           `json:"looked"`
	Brews    int           `json:"brews"`
	Findings []jsonFinding `json:"findings"`
}

// jsonFinding has ids in place of the numbers by which a record knows brews.
type jsonFinding struct {
	drift.Finding
	First string `json:"first"` // "" for all
	Last  string `json:"last"`
}

func (m lookedAt) jsonPage(p drift.Page) *jsonPage {
	out := &jsonPage{p.Rate, p.Looked, p.Brews, []jsonFinding{}}
	for _, f := range p.Findings {
		out.Findings = append(out.Findings, m.jsonFinding(f))
	}
	return out
}

func (m lookedAt) jsonFinding(f drift.Finding) jsonFinding {
	out := jsonFinding{Finding: f}
	if f.First >= 0 {
		out.First, out.Last = idText(m.record.Head(f.First).ID), idText(m.record.Head(f.Last).ID)
	}
	return out
}

type jsonAgainst struct {
	First  jsonSet           `json:"first"`
	Second jsonSet           `json:"second"`
	Common int               `json:"common"`
	Page   *jsonPage         `json:"page,omitempty"`
	Beat   *drift.Comparison `json:"beat,omitempty"` // of one beat alone, by slip
}

func (p pair) json(page *jsonPage, beat *drift.Comparison) *jsonAgainst {
	return &jsonAgainst{jsonSet{p.names[0], p.a.Len()}, jsonSet{p.names[1], p.b.Len()}, p.common, page, beat}
}

type jsonSet struct {
	Name  string `json:"name"`
	Brews int    `json:"brews"`
}

func (m lookedAt) jsonHead() jsonDrift {
	return jsonDrift{
		Schema: driftSchema, Recipe: m.recipe, Kind: m.flags.kind, Measure: m.flags.of(), Version: m.set.Version(),
		Versions: m.record.Versions(), Persons: m.set.Persons(), Brews: m.set.Len(), LeftOut: m.leftOut,
		First: m.set.Head(0).Start, Last: m.set.Head(m.set.Len() - 1).Start, Leasts: drift.Leasts(),
	}
}

func (t driftTold) json(w io.Writer) error {
	out := t.jsonHead()
	out.Table, out.Page, out.Where, out.Cup = t.table, t.jsonPage(t.page), &t.where, t.cup
	if x := t.against; x != nil {
		out.Against = x.json(t.jsonPage(x.page), nil)
	}
	return writeJSON(w, out)
}

func writeJSON(w io.Writer, v any) error {
	to := json.NewEncoder(w)
	to.SetEscapeHTML(false)
	to.SetIndent("", "  ")
	return to.Encode(v)
}

// csvColumns are those of --csv, a row a beat, length or weight. A figure that
// is withheld is empty, and the last column says why.
var csvColumns = []string{"what", "key", "name", "version", "owner", "measure", "unit", "brews", "marked", "unmarked", "skipped", "not_reached", "left_out",
	"on_time", "early", "late", "share", "share_low", "share_high", "median", "mean", "sd", "lower", "upper", "min", "max", "cp", "cpk", "withheld"}

func writeDriftCSV(to io.Writer, table []drift.Summary) error {
	w := csv.NewWriter(to)
	w.Write(csvColumns)
	for _, s := range table {
		w.Write(csvRow(s))
	}
	w.Flush()
	return w.Error()
}

func csvRow(s drift.Summary) []string {
	row := []string{string(s.Column.What), journal.Inert(s.Column.Key), journal.Inert(s.Column.Name), s.Column.Version, string(s.Column.Owner), string(s.Measure), s.Unit}
	t := s.Tally
	for _, n := range []int{t.Brews, t.Marked, t.Unmarked, t.Skipped, t.NotReached, t.LeftOut, t.OnTime, t.Early, t.Late} {
		row = append(row, strconv.Itoa(n))
	}
	if s.OnTime.Withheld == "" {
		row = append(row, decimal(s.OnTime.Rate()), decimal(s.OnTime.In.Low), decimal(s.OnTime.In.High))
	} else {
		row = append(row, "", "", "")
	}
	why := ""
	for _, f := range []struct {
		name string
		drift.Figure
	}{{"median", s.Median}, {"mean", s.Mean}, {"sd", s.SD}, {"lower", s.Lower}, {"upper", s.Upper}, {"min", s.Min}, {"max", s.Max}, {"cp", s.Able.Cp}, {"cpk", s.Able.Cpk}} {
		if f.Withheld == "" {
			row = append(row, decimal(f.Value))
			continue
		}
		row = append(row, "")
		if why != "" {
			why += "; "
		}
		why += f.name + ": " + string(f.Withheld)
	}
	return append(row, why)
}

// decimal writes a figure to a thousandth of its unit.
func decimal(x float64) string { return strconv.FormatFloat(x, 'f', 3, 64) }
