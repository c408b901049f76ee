package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"
	"time"

	"barline/brew"
	"barline/recipes"
	"barline/tui/tasted"

	"github.com/spf13/cobra"
)

// newPlan returns the command that shows a recipe on the clock.
func newPlan(a *app) *cobra.Command {
	var asJSON bool
	var dose string
	cmd := &cobra.Command{
		Use:               "plan RECIPE|ROUTINE",
		Short:             "show a recipe's cues on the clock, or a routine's, and what could move",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeAll(),
		RunE: func(_ *cobra.Command, args []string) error {
			if found, err := a.asRoutine(args[0]); found != nil || err != nil {
				return a.planRoutine(found, err, dose, asJSON)
			}
			plan, _, warnings, err := a.planned(args[0], dose)
			if err != nil {
				return err
			}
			if asJSON {
				out := planJSON(plan, warnings)
				out.Cup = cupAhead(plan, a.config.boils, a.config.cools)
				return printJSON(a.stdout, out)
			}
			io.WriteString(a.stderr, warnings.Text())
			if err := printPlan(a.stdout, plan); err != nil {
				return err
			}
			for _, text := range tasted.Ahead(plan, a.config.boils, a.config.cools) {
				lines(a.stdout, "cup: ", text)
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "as JSON")
	cmd.Flags().StringVar(&dose, "dose", "", "scale the recipe to this dose, in grams")
	return cmd
}

// printPlan writes the plan as a table.
func printPlan(out io.Writer, p *brew.Plan) error {
	fmt.Fprintf(out, "%s: %s\n", p.Name, summary(p))
	for _, chore := range p.Prepare {
		fmt.Fprintf(out, "prepare: %s\n", chore.Do)
	}
	fmt.Fprintln(out)
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "n\tfrom\tto\thands\tscale\twater\tprompt\tmark")
	for i, c := range p.Cues {
		scale := "-"
		if c.OnScale {
			scale = c.Scale.String()
		}
		fmt.Fprintf(w, "%d\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", i+1, brew.Exact(c.Start), brew.Exact(c.End), c.Hands, scale, c.Water, labelled(c), askedEdges(p, i))
	}
	if err := w.Flush(); err != nil {
		return err
	}
	for _, c := range p.Cues {
		if c.Caution != "" {
			fmt.Fprintf(out, "caution: %s: %s\n", c.Name, c.Caution)
		}
	}
	for _, chore := range p.Afterwards {
		fmt.Fprintf(out, "afterwards: %s\n", chore.Do)
	}
	return nil
}

// summary is the plan's figures in one line.
func summary(p *brew.Plan) string {
	parts := []string{string(p.Method), fmt.Sprintf("%s to %s (1:%.3g)", p.Dose, p.Water, float64(p.Water)/float64(p.Dose))}
	if p.Bypass > 0 {
		parts = append(parts, fmt.Sprintf("%s bypass (1:%.3g in all)", p.Bypass, float64(p.Water+p.Bypass)/float64(p.Dose)))
	}
	parts = append(parts, p.Temperature.String(), p.Grind, brew.Exact(p.End)+" in all")
	if p.HasContact {
		parts = append(parts, brew.Exact(p.Contact)+" contact")
	}
	return strings.Join(append(parts, "version "+p.Version), ", ")
}

func labelled(c brew.Cue) string {
	text := c.Prompt
	if c.Label != "" {
		text = c.Label + ": " + text
	}
	if c.Assumed {
		text += " (length assumed)"
	}
	return text
}

// askedEdges says which edges of the cue are asked and how far they may be
// off.
func askedEdges(p *brew.Plan, cue int) string {
	var edges []string
	for _, b := range p.Beats {
		if b.Asked && b.Cue == cue {
			edges = append(edges, fmt.Sprintf("%s -%s +%s", b.Edge, brew.Spoken(b.Window.Early), brew.Spoken(b.Window.Late)))
		}
	}
	return strings.Join(edges, ", ")
}

// The JSON of a plan, schema 1. Seconds go to 0.001, grams to 0.001; null
// where there is none. Cues and beats count from 1.
type jsonPlan struct {
	Schema       int           `json:"schema"`
	Name         string        `json:"name"`
	Method       brew.Method   `json:"method"`
	Version      string        `json:"version"`
	DoseG        float64       `json:"dose_g"`
	WaterG       float64       `json:"water_g"`
	BypassG      float64       `json:"bypass_g"`
	Ratio        float64       `json:"ratio"`
	RatioTotal   float64       `json:"ratio_total"`
	TemperatureC float64       `json:"temperature_c"`
	EndS         float64       `json:"end_s"`
	ContactS     *float64      `json:"contact_s"`
	Cup          jsonAhead     `json:"cup"`
	Cues         []jsonCue     `json:"cues"`
	Beats        []jsonBeat    `json:"beats"`
	Warnings     []jsonWarning `json:"warnings"`
}

type jsonCue struct {
	N       int         `json:"n"`
	Lane    int         `json:"lane"`
	Action  brew.Action `json:"action"`
	Label   *string     `json:"label"`
	Prompt  string      `json:"prompt"`
	StartS  float64     `json:"start_s"`
	EndS    float64     `json:"end_s"`
	WaterG  float64     `json:"water_g"`
	ScaleG  *float64    `json:"scale_g"`
	BypassG float64     `json:"bypass_g"`
	Hands   brew.Hands  `json:"hands"`
	Pinned  brew.Pin    `json:"pinned"`
	Assumed bool        `json:"assumed"`
}

type jsonBeat struct {
	N      int        `json:"n"`
	Cue    int        `json:"cue"`
	Edge   brew.Edge  `json:"edge"`
	Also   *jsonPoint `json:"also"`
	Owner  brew.Owner `json:"owner"`
	DueS   float64    `json:"due_s"`
	EarlyS float64    `json:"early_s"`
	LateS  float64    `json:"late_s"`
	Asked  bool       `json:"asked"`
}

type jsonPoint struct {
	Cue  int       `json:"cue"`
	Edge brew.Edge `json:"edge"`
}

type jsonWarning struct {
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	Message string `json:"message"`
	Hint    string `json:"hint"`
}

func planJSON(p *brew.Plan, warnings recipes.Faults) jsonPlan {
	out := jsonPlan{
		Schema: 1, Name: p.Name, Method: p.Method, Version: p.Version,
		DoseG: p.Dose.Grams(), WaterG: p.Water.Grams(), BypassG: p.Bypass.Grams(),
		Ratio: thousandth(float64(p.Water) / float64(p.Dose)), RatioTotal: thousandth(float64(p.Water+p.Bypass) / float64(p.Dose)),
		TemperatureC: thousandth(float64(p.Temperature)), EndS: inSeconds(p.End),
		Cues: []jsonCue{}, Beats: []jsonBeat{}, Warnings: []jsonWarning{},
	}
	if p.HasContact {
		out.ContactS = some(inSeconds(p.Contact), true)
	}
	for i, c := range p.Cues {
		out.Cues = append(out.Cues, jsonCue{
			N: i + 1, Lane: 1, Action: c.Action, Label: some(c.Label, c.Label != ""), Prompt: c.Prompt,
			StartS: inSeconds(c.Start), EndS: inSeconds(c.End), WaterG: c.Water.Grams(),
			ScaleG: some(c.Scale.Grams(), c.OnScale), BypassG: c.Bypass.Grams(),
			Hands: c.Hands, Pinned: c.Pinned, Assumed: c.Assumed,
		})
	}
	for i, b := range p.Beats {
		beat := jsonBeat{
			N: i + 1, Cue: b.Cue + 1, Edge: b.Edge, Owner: b.Owner, DueS: inSeconds(b.Due),
			EarlyS: inSeconds(b.Window.Early), LateS: inSeconds(b.Window.Late), Asked: b.Asked,
		}
		if b.Also != nil {
			beat.Also = &jsonPoint{b.Also.Cue + 1, b.Also.Edge}
		}
		out.Beats = append(out.Beats, beat)
	}
	for _, w := range warnings {
		out.Warnings = append(out.Warnings, jsonWarning{w.Line, w.Column, w.Message, w.Hint})
	}
	return out
}

// some returns a value that is there, nil where it is not.
func some[T any](v T, there bool) *T {
	if !there {
		return nil
	}
	return &v
}

func thousandth(x float64) float64 { return math.Round(x*1000) / 1000 }

func inSeconds(d time.Duration) float64 { return thousandth(d.Seconds()) }
