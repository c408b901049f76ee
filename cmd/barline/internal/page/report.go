package page

import (
	"strings"
	"time"

	"barline/brew"
	"barline/brew/drift"
)

// Mark is how a report begins: who finds a file that begins so may write a
// newer report over it.
const Mark = "<!DOCTYPE html>\n<!-- a report by barline -->\n"

// Report is what one page says of many brews of a recipe.
type Report struct {
	Recipe   string
	Counted  string // which brews count, in words: 'service brews that were finished'
	Made     time.Time
	Record   *drift.Record
	Choice   drift.Choice // of the record's brews; at least one
	Baseline drift.Baseline
	Attempts []drift.Attempt // to brew alone; none for no such section
	LeftOut  int             // brews of the record that cannot be read
}

// paper is a report that is being written, with what is known of its brews.
type paper struct {
	Report
	markup
	set      drift.Set
	rows     []row
	found    drift.Page
	charts   []chart
	where    drift.Where
	withheld withheld
	reasoned int // how many of these have been told
}

// HTML returns the page. The choice must hold a brew.
func (r Report) HTML() []byte {
	p := &paper{Report: r, set: r.Record.Choose(r.Choice)}
	p.found, p.where = p.set.Findings(r.Baseline), p.set.Where()
	p.rows, p.charts = p.table(), p.chartsOfFindings()
	p.put(Mark)
	p.head()
	p.put("<main>\n")
	p.title()
	p.findings()
	p.beats()
	p.spreads()
	p.control()
	p.went()
	p.persons()
	p.alone()
	p.reading()
	p.farAs()
	p.put("</main>\n</body>\n</html>\n")
	return []byte(p.String())
}

// head says what the page is. Its policy allows nothing but its own style: no
// script, and no request to anywhere.
func (p *paper) head() {
	p.put(`<html lang="en-GB">
<head>
<meta charset="utf-8"/>
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<meta name="color-scheme" content="light dark"/>
<title>%s: where the time goes, %s</title>
<style>
%s</style>
</head>
<body>
`, p.Recipe, counted(p.set.Len(), "brew"), trusted(style()))
}

// title says which brews these are.
func (p *paper) title() {
	first, last := p.set.Head(0), p.set.Head(p.set.Len()-1)
	p.put("<h1>%s</h1>\n<p>%s, %s, by %s. Version %s%s.</p>\n", p.Recipe, counted(p.set.Len(), "brew"), days(first.Start, last.Start), listed(p.names()), p.set.Version(), p.versions())
	p.put("<p class=\"faint\">Counted are %s%s. Made %s.</p>\n", p.Counted, p.chosen(), day(p.Made))
}

// names returns who brewed, those who did not say it last.
func (p *paper) names() []string {
	var out []string
	unknown := false
	for _, name := range p.set.Persons() {
		if unknown = unknown || name == ""; name != "" {
			out = append(out, name)
		}
	}
	if unknown {
		out = append(out, who(""))
	}
	return out
}

func (p *paper) versions() string {
	all := len(p.Record.Versions())
	switch {
	case p.Choice.AllVersions && all > 1:
		return ", older ones with it where they can be joined"
	case all > 1:
		return ", one of " + counted(all, "version")
	}
	return ""
}

// chosen says what was asked for beyond that.
func (p *paper) chosen() string {
	var parts []string
	c := p.Choice
	if len(c.Persons) > 0 {
		parts = append(parts, "by "+listed(c.Persons))
	}
	if !c.Since.IsZero() {
		parts = append(parts, "from "+day(c.Since)+" on")
	}
	if !c.Until.IsZero() {
		parts = append(parts, "up to "+day(c.Until.Add(-1)))
	}
	if c.Last > 0 {
		parts = append(parts, "of these the latest "+counted(c.Last, "brew"))
	}
	if len(parts) == 0 {
		return ""
	}
	return ", " + strings.Join(parts, ", ")
}

// of returns the brews of a person that are in the set.
func (p *paper) of(person string) drift.Set {
	c := drift.Choice{Persons: []string{person}, Version: p.set.Version()}
	if p.Choice.AllVersions {
		c.Version, c.AllVersions = "", true
	}
	all := p.Record.Choose(c)
	return all.Without(all.Without(p.set))
}

// hands reports whether a column is a beat that is the person's.
func hands(c drift.Column) bool { return c.What == drift.Beats && c.Owner != brew.Bed }
