package page

import (
	"fmt"

	"barline/brew/drift"
)

// findings writes what may be claimed, the strongest first.
func (p *paper) findings() {
	p.put("<h2>What stands out</h2>\n")
	if len(p.found.Findings) == 0 {
		if p.found.Looked == 0 {
			p.put("<p class=\"findings\">Nothing can be asked yet of so few brews.</p>\n")
			return
		}
		p.put("<p class=\"findings\">Nothing stands out from chance, of %s asked.</p>\n", counted(p.found.Looked, "question"))
		return
	}
	p.put("<ol class=\"findings\">\n")
	for i, f := range p.found.Findings {
		p.put("<li id=\"finding-%d\">%s<small>%s%s</small></li>\n", i+1, sentence(f.Text), p.about(f), p.seen(i))
	}
	p.put("</ol>\n<p class=\"faint\">The strongest first. %s were asked; with nothing but chance at work, at most one page in %.0f holds any finding.</p>\n",
		counted(p.found.Looked, "question"), 1/p.found.Rate)
}

// about says how much a finding weighs, and what it cannot tell apart.
func (p *paper) about(f drift.Finding) string {
	text := fmt.Sprintf("%.1f\u00a0s a brew, over all brews; p %s, corrected for all that was asked", f.Strength, chance(f.Adjusted))
	if f.Note != "" {
		text += "; " + f.Note
	}
	if f.Column.Version != p.set.Version() {
		text += "; version " + f.Column.Version
	}
	return text
}

// seen leads to the chart of finding i, where there is one.
func (p *paper) seen(i int) trusted {
	for n, c := range p.charts {
		for _, of := range c.findings {
			if of == i {
				return trusted(fmt.Sprintf(`; <a href="#chart-%d">chart %d</a>`, n+1, n+1))
			}
		}
	}
	return ""
}
