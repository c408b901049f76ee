package page

import (
	"fmt"
	"math"

	"barline/brew"
	"barline/brew/drift"
)

// went writes where the time goes: what is made at each beat against what it
// inherits, in the mean of its marks.
func (p *paper) went() {
	w := p.where
	beats := w.Beats[:0:0]
	for _, b := range w.Beats {
		if b.Withheld == "" {
			beats = append(beats, b)
		}
	}
	if len(beats) == 0 {
		return
	}
	p.put("<h2>Where the time goes</h2>\n<p>%s</p>\n", p.wentWhole())
	p.put("<figure>\n<figcaption><b>Made here and carried</b>the solid bar is made at the beat itself, the hollow one is inherited from before; right of the line is late, left of it early</figcaption>\n<div class=\"wide\">\n")
	p.wentPicture(beats)
	p.put("</div>\n</figure>\n")
	p.sources()
}

// wentWhole says whose doing the drift of the last mark is.
func (p *paper) wentWhole() string {
	w := p.where
	if w.Withheld != "" {
		return "Whose doing the drift of whole brews is, is withheld: " + w.Withheld.For("mean") + "."
	}
	mean := func(sum float64) string { return with(amount(w.Mean(sum).Value), "s") }
	untold := ""
	if w.Untold != 0 {
		untold = fmt.Sprintf(", %s by the bed or the hand, which cannot be told apart,", mean(w.Untold))
	}
	return fmt.Sprintf("In the mean of %s of version %s the last mark comes %s off the plan. Of that %s is made by hands, %s by the bed%s and %s in between, where pauses of the recipe take time up.",
		counted(w.Marked, "brew"), p.set.Version(), mean(w.Total), mean(w.Person), mean(w.Bed), untold, mean(w.Between))
}

const (
	wentWidth = 720.0
	wentRow   = 46.0
)

func (p *paper) wentPicture(beats []drift.BeatWhere) {
	low, high := 0.0, 0.0
	for _, b := range beats {
		for _, x := range []float64{own(b), given(b)} {
			low, high = min(low, x), max(high, x)
		}
	}
	const margin = 56.0
	span := max(high-low, 0.1)
	x := func(v float64) float64 { return margin + (v-low)/span*(wentWidth-2*margin) }
	height := wentRow*float64(len(beats)) + 6
	p.picture("went", wentWidth, height, "Made at each beat against carried into it", wentWords(beats), func() {
		for i, b := range beats {
			y := wentRow * float64(i)
			p.label("start", 0, y+12, b.Column.Name+bedOr(b.Column))
			p.line("edge", x(0), y+16, x(0), y+42)
			p.bar("own", x, own(b), y+17)
			p.bar("given", x, given(b), y+30)
		}
	})
}

// bar draws a time from the line to its end, and its figure behind it.
func (p *paper) bar(class string, x func(float64) float64, v, y float64) {
	from, to := x(min(v, 0)), x(max(v, 0))
	p.box(class, from, y, max(to-from, 0.5), 10)
	if v < 0 {
		p.label("end", from-4, y+9, with(amount(v), "s"))
		return
	}
	p.label("start", to+4, y+9, with(amount(v), "s"))
}

func own(b drift.BeatWhere) float64   { return b.Mean(b.Slip).Value }
func given(b drift.BeatWhere) float64 { return b.Mean(b.Carried).Value }

func bedOr(c drift.Column) string {
	if c.Owner == brew.Bed {
		return " (the bed's)"
	}
	return ""
}

func wentWords(beats []drift.BeatWhere) string {
	text := "Two bars for each beat, in the mean of its marks."
	for _, b := range beats {
		text += fmt.Sprintf(" %s: %s made there, %s carried.", b.Column.Name, with(amount(own(b)), "s"), with(amount(given(b)), "s"))
	}
	return text
}

// sources says which beat gives most of what another one inherits, where that
// can be seen.
func (p *paper) sources() {
	var told []string
	for i, b := range p.where.Beats {
		from, part := p.where.Source(i)
		if from < 0 || math.Abs(b.Mean(b.From[from]).Value) < 0.05 {
			continue
		}
		told = append(told, fmt.Sprintf("%s: %s of its drift comes from %s", b.Column.Name, percent(part), p.where.Beats[from].Column.Name))
	}
	if len(told) == 0 {
		return
	}
	p.put("<ul>\n")
	for _, t := range told {
		p.put("<li>%s</li>\n", t)
	}
	p.put("</ul>\n")
}
