package journal

import (
	"encoding/json"
	"time"

	"barline/brew"
)

// LineSchema is the number of the form of exported lines.
const LineSchema = 1

// format names the form in the first line.
const format = "barline journal"

// A line is one JSON object with one field, which says what it holds. The
// first is the head. A plan, a text, a round and a take stand above the first
// brew that names them.
type line struct {
	Head      *headLine      `json:"head,omitempty"`
	Round     *roundLine     `json:"round,omitempty"`
	Take      *takeLine      `json:"take,omitempty"`
	Attempt   *attemptLine   `json:"attempt,omitempty"`
	Baseline  *baselineLine  `json:"baseline,omitempty"`
	Forgotten *forgottenLine `json:"forgotten,omitempty"`
	Plan      *planLine      `json:"plan,omitempty"`
	Text      *textLine      `json:"text,omitempty"`
	Brew      *brewLine      `json:"brew,omitempty"`
}

type headLine struct {
	Format string `json:"format"`
	Schema int    `json:"schema"`
}

type planLine struct {
	Hash   string          `json:"hash"`
	Schema int             `json:"schema"`
	Plan   json.RawMessage `json:"plan"`
}

type textLine struct {
	Hash string `json:"hash"`
	Text string `json:"text"`
}

type brewLine struct {
	ID       string        `json:"id"`
	Kind     Kind          `json:"kind"`
	Speed    float64       `json:"speed"`
	From     time.Duration `json:"from_ns"`
	Marks    brew.Policy   `json:"marks"`
	Person   string        `json:"person"`
	Recipe   string        `json:"recipe"`
	Version  string        `json:"version"`
	Start    string        `json:"start"`
	StartAt  time.Duration `json:"start_at_ns"`
	Kept     Kept          `json:"kept"`
	Boot     string        `json:"boot"`
	Zero     time.Duration `json:"zero_ns"`
	Coffee   string        `json:"coffee"`
	Lot      string        `json:"lot"`
	Setting  string        `json:"setting"`
	Kettle   *brew.Celsius `json:"kettle_c"`
	Round    string        `json:"round"`
	Take     string        `json:"take"`
	Lane     int           `json:"lane"`
	Order    string        `json:"order"`
	Plan     string        `json:"plan"`
	Text     string        `json:"text"`
	End      End           `json:"end"`
	EndAt    time.Duration `json:"end_ns"`
	Why      string        `json:"why"`
	Events   []eventLine   `json:"events"`
	Readings []readingLine `json:"readings"`
	Weights  []weightLine  `json:"weights"`
}

type eventLine struct {
	Kind   brew.EventKind `json:"kind"`
	Lane   int            `json:"lane,omitempty"`
	At     time.Duration  `json:"at_ns"`
	Source brew.Source    `json:"source"`
	Weight *brew.Mass     `json:"weight_mg,omitempty"`
	Text   string         `json:"text,omitempty"`
	From   time.Duration  `json:"from_ns,omitempty"`
	Cue    int            `json:"cue,omitempty"`
	To     time.Duration  `json:"to_ns,omitempty"`
}

type readingLine struct {
	ID       string   `json:"id"`
	What     What     `json:"what"`
	Value    *float64 `json:"value"`
	Text     string   `json:"text"`
	Taken    string   `json:"taken"`
	By       string   `json:"by"`
	Replaces string   `json:"replaces,omitempty"`
}

type weightLine struct {
	ID       string      `json:"id"`
	Beat     string      `json:"beat"`
	Mass     *brew.Mass  `json:"mass_mg"`
	Source   brew.Source `json:"source"`
	Taken    string      `json:"taken"`
	By       string      `json:"by"`
	Replaces string      `json:"replaces,omitempty"`
}

type roundLine struct {
	ID     string      `json:"id"`
	Kind   RoundKind   `json:"kind"`
	Name   string      `json:"name"`
	Person string      `json:"person"`
	Start  string      `json:"start"`
	Text   string      `json:"text"`
	Events []eventLine `json:"events"`
}

type takeLine struct {
	ID      string      `json:"id"`
	Routine string      `json:"routine"`
	Version string      `json:"version"`
	Person  string      `json:"person"`
	Kind    Kind        `json:"kind"`
	Speed   float64     `json:"speed"`
	Dry     bool        `json:"dry"`
	Section string      `json:"section"`
	Start   string      `json:"start"`
	Text    string      `json:"text"`
	Events  []eventLine `json:"events"`
}

type attemptLine struct {
	ID      string `json:"id"`
	Person  string `json:"person"`
	Recipe  string `json:"recipe"`
	Version string `json:"version"`
	Brews   int    `json:"brews"`
	Opened  string `json:"opened"`
	Closed  string `json:"closed"`
	Result  string `json:"result"`
	Text    string `json:"text"`
}

type baselineLine struct {
	ID      string  `json:"id"`
	Version string  `json:"version"`
	Beat    string  `json:"beat"`
	Measure string  `json:"measure"`
	First   string  `json:"first"`
	Last    string  `json:"last"`
	Brews   int     `json:"brews"`
	Low     float64 `json:"low"`
	Centre  float64 `json:"centre"`
	High    float64 `json:"high"`
	Made    string  `json:"made"`
	By      string  `json:"by"`
}
