package page

import (
	"fmt"
	"strings"

	"barline/brew/drift"
)

const rangesHeight = 78.0

// ranges draws below a control chart how far each brew lies from the one before,
// against the limit that the baseline sets: the chart of moving ranges, which
// tells a restless hand from one that moved.
func (p *paper) ranges(n int, c chart, above area) {
	a := above
	a.top, a.bottom, a.height, a.low = 20, 66, rangesHeight, 0
	if a.high = c.widest(); a.high == 0 {
		return
	}
	p.picture(fmt.Sprintf("ranges-%d", n), a.width, a.height, c.name()+", from brew to brew", c.rangeWords(), func() {
		p.label("start", a.left, 11, "from brew to brew: how far each lies from the one before it")
		p.line("edge", a.left, a.y(0), a.right, a.y(0))
		for _, v := range c.versions {
			p.rangesOf(c, v, a)
		}
		if last := c.newest(); last.Withheld == "" {
			p.label("late start", a.right+4, a.y(last.Limits.HighRange)+4, figureOf(last.Limits.HighRange))
		}
	})
}

// rangesOf draws those of one version; what lies beyond the limit is thicker.
func (p *paper) rangesOf(c chart, v drift.Chart, a area) {
	if v.Withheld != "" {
		return
	}
	var within, beyond strings.Builder
	for i, r := range v.Ranges {
		at := v.Points[i+1]
		if at < a.from {
			continue
		}
		bar := fmt.Sprintf("M%s %sV%s", places(a.x(at)), places(a.y(0)), places(a.y(r)))
		if r > v.Limits.HighRange {
			beyond.WriteString(bar)
		} else {
			within.WriteString(bar)
		}
	}
	p.path("range", within.String())
	p.path("out", beyond.String())
	if first, last := v.Points[0], v.Points[len(v.Points)-1]; last >= a.from {
		from, to := a.x(max(first, a.from))-3, a.x(last)+3
		p.line("limit", from, a.y(v.Limits.HighRange), to, a.y(v.Limits.HighRange))
		p.line("centre", from, a.y(v.Limits.MeanRange), to, a.y(v.Limits.MeanRange))
	}
}

// widest returns what the picture reaches to: the largest range, but no more than
// twice the limit; 0 where no version has one.
func (c chart) widest() (most float64) {
	for _, v := range c.versions {
		if v.Withheld != "" {
			continue
		}
		most = max(most, v.Limits.HighRange*1.1)
		for _, r := range v.Ranges {
			most = max(most, min(r, 2*v.Limits.HighRange))
		}
	}
	return most
}

// rangeWords says the picture for who does not see it.
func (c chart) rangeWords() string {
	text := "A chart of moving ranges: how far each brew lies from the one before it."
	for _, v := range c.versions {
		if v.Withheld != "" {
			continue
		}
		text += fmt.Sprintf(" Version %s: %s in the mean of its baseline, the limit is %s; of %d judged %d lie beyond.",
			v.Version, figureOf(v.Limits.MeanRange), with(figureOf(v.Limits.HighRange), c.series.Unit()), len(v.Points)-v.Judge, v.RangesOutside)
	}
	return text
}

// figureOf is a size, which has no sign.
func figureOf(x float64) string { return fmt.Sprintf("%.1f", x) }
