package page

import (
	"fmt"

	"barline/brew/drift"
)

// reading says in one paragraph how the page is read.
func (p *paper) reading() {
	p.put("<h2>How to read it</h2>\n<p>%s</p>\n", "A beat has three times: written in the recipe, called on the screen, marked by the person. "+
		"Drift is marked less written, and tells of the cup; it is the sum of what was carried, called less written, which came from before, and of the slip, marked less called, which was made here and tells of the person, or of the bed. "+
		"Plus is late. On time is what lies in the window. "+
		"The interval behind a share says how little or how much so few or so many brews tell. "+
		"A word on a trend or on limits is chosen so that all rows together are wrong in one page of 20 at most. "+
		"Tenths of a second are the finest that is told, for a key pressed by a person bears no more.")
}

// farAs says what the page does not know.
func (p *paper) farAs() {
	p.put("<h2>As far as it goes</h2>\n<ul>\n")
	for _, line := range p.gaps() {
		p.put("<li>%s</li>\n", sentence(line))
	}
	p.put("</ul>\n")
}

func (p *paper) gaps() []string {
	out := []string{p.markedAll()}
	if n := len(p.withheld); n > 0 {
		out = append(out, fmt.Sprintf("figures that these brews cannot bear are withheld, for %s that the notes name; nothing stands in for them", counted(n, "reason")))
	} else {
		out = append(out, "no figure had to be withheld")
	}
	if p.LeftOut > 0 {
		out = append(out, counted(p.LeftOut, "brew")+" of the journal cannot be read and are left out")
	}
	if n := p.apart(); n > 0 {
		out = append(out, fmt.Sprintf("up to %s of other versions cannot be joined with the newest, beat by beat, and are left out of its rows", counted(n, "brew")))
	}
	if p.found.Brews < p.set.Len() {
		out = append(out, fmt.Sprintf("findings look at the latest %d brews of each version", drift.LatestBrews))
	}
	if p.set.Len() > drift.Latest {
		out = append(out, fmt.Sprintf("trends and charts look at the latest %d marks of a beat", drift.Latest))
	}
	if n := p.startless(); n > 0 {
		out = append(out, fmt.Sprintf("of %s the start of the cue was not marked, so that slow work and a late start count together", counted(n, "slip")))
	}
	return out
}

// markedAll says how many of the marks there are.
func (p *paper) markedAll() string {
	var marked, missing int
	for _, r := range p.rows {
		if r.summary.Column.What == drift.Beats {
			t := r.summary.Tally
			marked, missing = marked+t.Marked, missing+t.Unmarked+t.Skipped+t.NotReached
		}
	}
	if missing == 0 {
		return fmt.Sprintf("as far as the marks tell, which are all there: %d", marked)
	}
	return fmt.Sprintf("as far as the marks tell, and %d of %d are missing: marks are missing when hands are full, so what is left looks better than it was", missing, marked+missing)
}

// apart returns how many brews the row that lacks most of them lacks.
func (p *paper) apart() (most int) {
	for _, r := range p.rows {
		most = max(most, r.summary.Tally.LeftOut)
	}
	return most
}

// startless returns how many slips hold slow work and a late start together.
func (p *paper) startless() (n int) {
	for _, r := range p.rows {
		n += r.summary.Tally.StartUnmarked
	}
	return n
}
