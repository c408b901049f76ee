package page

import (
	"strings"
	"time"

	"barline/brew"
	"barline/brew/routine"
)

// Card is a routine's run sheet as a page that prints on one sheet, of A4
// or of US Letter.
type Card struct{ Plan *routine.Plan }

// HTML returns the page.
func (c Card) HTML() []byte {
	m := &markup{}
	p := c.Plan
	m.put(Mark)
	m.put(`<html lang="en-GB">
<head>
<meta charset="utf-8"/>
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<meta name="color-scheme" content="light dark"/>
<title>%s: run sheet</title>
<style>
%s%s@media print{main.card{font-size:%.2fpt}}
</style>
</head>
<body>
<main class="card">
`, p.Name, trusted(style()), trusted(cardSheet), c.points())
	c.head(m)
	c.ready(m)
	m.put("<div class=\"sheet\">\n")
	c.entries(m)
	m.put("</div>\n</main>\n</body>\n</html>\n")
	return []byte(m.String())
}

// head says what the routine comes to.
func (c Card) head(m *markup) {
	p := c.Plan
	m.put("<h1>%s</h1>\n<p>Limit %s, planned to end at %s. %s%s</p>\n", p.Name, brew.Exact(p.Limit), brew.Exact(p.End), sentence(p.Rules.Say(p.Limit)), trusted(c.toCheck()))
}

// toCheck says which rules nobody wrote.
func (c Card) toCheck() string {
	text := routine.ToCheck(c.Plan.Assumed)
	if text == "" {
		return ""
	}
	return " <b>" + escaped(sentence(text)) + "</b>"
}

// ready lists what is prepared in set-up time.
func (c Card) ready(m *markup) {
	if len(c.Plan.Ready) == 0 {
		return
	}
	m.put("<p class=\"faint\">Set-up%s: %s.</p>\n", within(c.Plan.Setup), strings.Join(c.Plan.Ready, "; "))
}

func within(d time.Duration) string {
	if d == 0 {
		return ""
	}
	return ", " + brew.Spoken(d)
}

// entries writes what happens, in order: of each section its cues and lines.
func (c Card) entries(m *markup) {
	open := false
	shut := func() {
		if open {
			m.put("</ol>\n")
		}
		open = false
	}
	for _, e := range c.Plan.Sheet() {
		clock := brew.Clock(e.Start)
		switch e.Kind {
		case routine.ASection:
			shut()
			m.put("<h2><span class=\"at\">%s</span> %s</h2>\n<ol>\n", clock, e.What)
			open = true
		case routine.ACall:
			shut()
			m.put("<p class=\"call\"><span class=\"at\">%s</span> %s</p>\n", clock, sentence(e.What))
		case routine.ALine:
			m.put("<li class=\"line\"><span class=\"at\">%s</span> <span>%s%s</span></li>\n", clock, e.What, trusted(tied(e.Note)))
		case routine.ACue:
			m.put("<li class=\"cue\"><span class=\"at\">%s</span> <span><b>%s</b> %s <small>%s</small></span></li>\n", clock, e.Who, e.What, e.By)
		}
	}
}

// tied says what a line is tied to.
func tied(note string) string {
	if note == "" {
		return ""
	}
	return " <small>" + escaped(note) + "</small>"
}

// The sheet has two columns of some 88 mm, in which a point of type is so many
// characters of running text; measured in a browser, with room to spare.
const (
	columnChars = 480.0 // characters a line at 1 pt
	columnLines = 690.0 // lines of both columns at 1 pt, with their gaps
	mostPoints  = 11.0
	leastPoints = 4.5
)

// points returns the type size, in points, at which the sheet is expected to
// fit on one page.
func (c Card) points() float64 {
	for size := mostPoints; size > leastPoints; size -= 0.1 {
		if c.lines(columnChars/size) <= 2*columnLines/size {
			return size
		}
	}
	return leastPoints
}

// lines estimates how many lines the sheet takes with so many characters in
// one.
func (c Card) lines(chars float64) float64 {
	lines := 8 + 2*float64(len(strings.Join(c.Plan.Ready, "; ")))/(2*chars)
	for _, e := range c.Plan.Sheet() {
		text := float64(len([]rune(e.What+e.Note+e.Who)) + 18)
		lines += float64(int(text/(chars-6))) + 1.25
		if e.Kind == routine.ASection {
			lines += 1.6
		}
	}
	return lines
}

const cardSheet = `main.card{max-width:60rem}
.card h1{font-size:1.7em}
.card h2{font-size:1.1em;margin:.7em 0 .2em;break-after:avoid}
.card p{margin:.2em 0}
.card ol{list-style:none;margin:0;padding:0}
.card li,.card .call{display:grid;grid-template-columns:3.2em 1fr;gap:.3em;margin:.12em 0;break-inside:avoid}
.card .at{font-variant-numeric:tabular-nums;font-weight:600;text-align:right}
.card h2 .at{display:inline-block;min-width:2.9em}
.card li.cue{background:var(--band)}
.card li.cue b{color:var(--early)}
.card small{display:inline;font-size:.85em}
.card .call{border-top:2px solid var(--late);border-bottom:2px solid var(--late);font-weight:600}
@media (min-width:50rem),print{.sheet{columns:2;column-gap:1.6em}}
@page{size:auto;margin:10mm}
@media print{.card{line-height:1.25}.card h1{font-size:1.5em}.card h2{margin-top:.5em}.card .faint,.card small{font-size:.85em}}
`
