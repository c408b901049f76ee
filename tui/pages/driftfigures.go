package pages

import (
	"fmt"
	"strings"

	"barline/brew/drift"
	"barline/brew/drift/stat"
	"barline/tui/draw"
)

// labelled is the width of the names before a beat's figures.
const labelled = 10

// figures is all that is known of a beat, a line or more each: its name, then
// the figure or why it is withheld.
func (b driftBeat) figures(width int) []sheetLine {
	var out []sheetLine
	for _, f := range b.texts {
		if f[1] == "" {
			continue
		}
		lead := fmt.Sprintf("%-*s", labelled, f[0])
		if width < 2*labelled { // no room for two columns
			lead = f[0] + " "
		}
		out = append(out, item(width, draw.Plain, lead, f[1])...)
	}
	return out
}

func (b driftBeat) figureTexts() [][2]string {
	s := b.summary
	say := b.say
	out := [][2]string{
		{"brews", counted(s.Tally) + startless(s.Tally)},
		{"window", b.window()},
		{"median", need("median", s.Median, say)},
		{"mean", need("mean", s.Mean, say)},
		{"spread", need("standard deviation", s.SD, b.size) + spreadWords(s.SD)},
		{"quartiles", both("quartiles", s.Lower, s.Upper, say)},
		{"extremes", both("smallest and largest", s.Min, s.Max, say)},
		{"on time", b.timelyWords()},
		{"capable", b.capable()},
		{"trend", b.trendWords()},
		{"limits", b.limits()},
		{"ranges", b.ranging()},
	}
	return append(out, b.drawn()...)
}

// say is a value with its sign and unit.
func (r driftRow) say(x float64) string { return amount(x, r.summary.Unit) }

// size is a figure that has no sign.
func (r driftRow) size(x float64) string { return strings.TrimPrefix(r.say(x), "+") }

// startless owns up to slips that hold slow work and a late start together.
func startless(t drift.Tally) string {
	if t.StartUnmarked == 0 {
		return ""
	}
	return fmt.Sprintf("; of %d the start was not marked, so slow work and a late start count together", t.StartUnmarked)
}

func (b driftBeat) window() string {
	if !b.summary.Column.HasWindow {
		return string(drift.NoWindow)
	}
	return windowed(b.summary.Column.Window)
}

// need is a figure, or why it is withheld and, where that is for want of brews,
// how many it takes.
func need(name string, f drift.Figure, say func(float64) string) string {
	if f.Withheld == "" {
		return say(f.Value)
	}
	return withheld(name, f.Withheld)
}

func withheld(name string, why drift.Reason) string {
	return "withheld: " + why.Because(name)
}

func spreadWords(f drift.Figure) string {
	if f.Withheld != "" {
		return ""
	}
	return ", the standard deviation"
}

func both(name string, low, high drift.Figure, say func(float64) string) string {
	if low.Withheld != "" {
		return withheld(name, low.Withheld)
	}
	return say(low.Value) + " and " + say(high.Value)
}

func (b driftBeat) timelyWords() string {
	s := b.summary.OnTime
	if s.Withheld != "" {
		return withheld("share on time", s.Withheld)
	}
	return fmt.Sprintf("%s, %d of %d; at 95 %%: %s", share(s), s.K, s.N, within(s))
}

func (b driftBeat) capable() string {
	a := b.summary.Able
	if a.Cpk.Withheld != "" {
		return withheld("capability", a.Cpk.Withheld)
	}
	in := func(f drift.Figure, i stat.Interval) string {
		return fmt.Sprintf("%.2f (%.2f to %.2f)", f.Value, i.Low, i.High)
	}
	text := "Cpk " + in(a.Cpk, a.CpkIn)
	if a.Cp.Withheld == "" {
		text = "Cp " + in(a.Cp, a.CpIn) + ", " + text
	} else {
		text += "; Cp withheld: " + string(a.Cp.Withheld)
	}
	if b.said.caveat != "" {
		text += "; " + b.said.caveat
	}
	return text
}

func (b driftBeat) trendWords() string {
	if b.trend.Withheld != "" {
		return withheld("trend", b.trend.Withheld)
	}
	return b.said.trending
}

// limits says where the limits come from and what lies beyond them.
func (b driftBeat) limits() string {
	c, say := b.chart, b.say
	if c.Withheld != "" {
		return withheld("limits", c.Withheld)
	}
	text := fmt.Sprintf("%s to %s, from %s; %s", say(c.Limits.Low), say(c.Limits.High), basis(c), b.said.limited)
	judged := len(c.Points) - c.Judge
	if judged == 0 {
		return text
	}
	text += fmt.Sprintf("; %d of %d judged lie beyond (by chance one or more in %s of charts)", c.Outside, judged, percent(c.ByChance))
	if c.Run.Length > 1 {
		text += fmt.Sprintf("; at most %d in a row %s its median", c.Run.Length, map[bool]string{true: "above", false: "below"}[c.Run.Above])
	}
	return text
}

// basis says which brews the limits come from.
func basis(c drift.Chart) string {
	switch n := c.Judge - c.From; {
	case c.Lacks > 0:
		return fmt.Sprintf("%d frozen brews, of which %d more are not here", n, c.Lacks)
	case c.Frozen:
		return fmt.Sprintf("%d frozen brews", n)
	default:
		return fmt.Sprintf("the first %d brews", n)
	}
}

// ranging says how far brews lie from the one before, against their limit.
func (b driftBeat) ranging() string {
	c := b.chart
	if c.Withheld != "" {
		return ""
	}
	return fmt.Sprintf("%s in the mean from brew to brew, limit %s; %d of %d judged lie beyond", b.size(c.Limits.MeanRange), b.size(c.Limits.HighRange), c.RangesOutside, len(c.Points)-c.Judge)
}

// drawn is what the other rules and charts show: drawn, not claimed.
func (b driftBeat) drawn() [][2]string {
	average, sums := 0, 0
	for i := range b.chart.EWMA {
		if b.chart.EWMA[i].Out() {
			average++
		}
		if b.chart.CUSUM[i].Out {
			sums++
		}
	}
	var out [][2]string
	if average+sums > 0 {
		out = append(out, [2]string{"averages", fmt.Sprintf("of the points judged the moving average is beyond its limits at %d, the sums signal at %d: drawn, not claimed", average, sums)})
	}
	for i, n := range stat.RuleCounts(b.chart.Rules) {
		// The older four are among Nelson's but for the last, and what lies
		// beyond the limits has been said.
		if rule := stat.Rules()[i]; n > 0 && rule.ID[0] == 'N' && rule.ID != "N1" {
			out = append(out, [2]string{"pattern", fmt.Sprintf("%s: completed by %d of the points", rule.Words, n)})
		}
	}
	return out
}
