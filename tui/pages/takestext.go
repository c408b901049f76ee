package pages

import (
	"fmt"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/tui/draw"
)

// tenths is a length of time on a clock, to a tenth of a second.
func tenths(d time.Duration) string {
	d = d.Round(100 * time.Millisecond)
	return fmt.Sprintf("%s.%d", brew.Clock(d), d.Abs()%time.Second/(100*time.Millisecond))
}

// drifted is a drift without its unit, for columns.
func drifted(d time.Duration) string { return strings.TrimSuffix(brew.Signed(d), " s") }

// figureText is a figure, or a dash where too few takes bear it.
func figureText(f routine.Figure, as func(time.Duration) string) string {
	if !f.Known {
		return "-"
	}
	return as(f.Value)
}

func spreadText(d time.Duration) string { return fmt.Sprintf("%.1f s", d.Seconds()) }

// trendText is the trend of a section, a take.
func trendText(r routine.Row) string {
	switch {
	case !r.Trend.Known:
		return "-"
	case r.Steady:
		return "none"
	}
	return drifted(r.Trend.Value)
}

// poolTexts say which takes are shown, at length and shorter.
func (t Takes) poolTexts() []string {
	n := len(t.table.Takes)
	if n == 0 {
		return nil
	}
	p := t.pools[t.pool]
	count := numbered(n)
	if p.Dry {
		count += ", without water"
	}
	if r := t.table.Takes[0]; r.Partial {
		count += ", " + r.Plan.Sections[p.From].Name + " to " + r.Plan.Sections[p.To].Name
	}
	return []string{count + ", version " + p.Version[:min(len(p.Version), 8)], count}
}

// mostLosing is how many of the sections where time is lost are named.
const mostLosing = 2

// said is what the takes tell in words: where time is lost, and how alike the
// latest are.
func (t Takes) said(width int) (out []sheetLine) {
	add := func(text string, role draw.Role) { out = append(out, item(width, role, "- ", text)...) }
	table := t.table
	for n, i := range table.Losing {
		if n == mostLosing {
			more := "and in one more section"
			if left := len(table.Losing) - n; left > 1 {
				more = fmt.Sprintf("and in %d more sections", left)
			}
			add(more, draw.Plain)
			break
		}
		r := table.Sections[i]
		add(fmt.Sprintf("time is lost in %s on %d of %d takes, %s by slip, usually", r.Name, r.Lost, len(table.Takes), brew.Signed(r.Slip.Value)), draw.Plain)
	}
	switch {
	case len(table.Takes) < routine.LeastTook:
		add(fmt.Sprintf("where time is lost is told from %d takes on", routine.LeastTook), draw.Faint)
	case len(table.Losing) == 0:
		add("in no section is time lost, by slip, on most takes", draw.Plain)
	}
	if a := table.Alike; a.Beats > 0 {
		add(fmt.Sprintf("the latest %d takes are alike to %s; widest apart: %s, %s", a.Takes, spreadText(a.Range), a.Worst, spreadText(a.Wide)), draw.Plain)
	}
	if text := t.uncounted(); text != "" {
		add("not counted: "+text, draw.Faint)
	}
	if t.leftOut > 0 {
		add(numbered(t.leftOut)+" cannot be read and "+isAre(t.leftOut)+" left out", draw.Caution)
	}
	return out
}

// uncounted says which takes of the pool are not looked at, "" for none.
func (t Takes) uncounted() string {
	stopped, cut, slow := 0, 0, 0
	for _, r := range t.all {
		switch {
		case routine.PoolOf(r) != t.pools[t.pool]:
		case r.Ending == routine.Stopped:
			stopped++
		case r.Ending != routine.Finished:
			cut++
		case r.Speed != 1:
			slow++
		}
	}
	var parts []string
	for _, p := range []struct {
		n    int
		what string
	}{{stopped, "stopped"}, {cut, "cut off"}, {slow, "at another speed"}} {
		if p.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", p.n, p.what))
		}
	}
	return strings.Join(parts, ", ")
}

// numbered is so many takes.
func numbered(n int) string {
	if n == 1 {
		return "1 take"
	}
	return fmt.Sprintf("%d takes", n)
}

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}
