package page

import (
	"fmt"
	"slices"

	"barline/brew/drift"
)

// persons writes how each person keeps to the calls, by slip: what a beat
// inherits, and what the bed does, counts against nobody.
func (p *paper) persons() {
	var beats []drift.Column
	for _, c := range p.set.Columns() {
		if hands(c) {
			beats = append(beats, c)
		}
	}
	if len(beats) == 0 {
		return
	}
	p.put("<h2>Who brews</h2>\n")
	p.open("How each person keeps to the calls, beat by beat", "By slip: how far a mark was from its call, in s. What came late from before, and what the bed does, counts against nobody. On time is the share in the window, with its 95 % interval.")
	p.columns("Person", "beat", "n", "missing", "median", "on time, %")
	for _, name := range p.set.Persons() {
		p.put("<tbody>\n")
		set := p.of(name)
		for i, c := range beats {
			s, ok := set.Series(c.What, c.Key, drift.BySlip)
			if !ok {
				continue
			}
			p.person(name, i == 0, len(beats), s.Summary())
		}
		p.put("</tbody>\n")
	}
	p.put("</table>\n</div>\n")
	p.reasons()
}

// person writes a row: one person's beat.
func (p *paper) person(name string, first bool, of int, s drift.Summary) {
	p.put("<tr>")
	if first {
		p.put(`<th scope="rowgroup" rowspan="%d">%s</th>`, of, who(name))
	}
	p.put(`<th scope="row">%s</th><td class="n">%d</td><td class="n">%v</td><td class="n">%s</td><td class="n">%s</td></tr>`+"\n",
		s.Column.Name, s.Tally.Marked, p.missing(s), p.figure("median", s.Median), p.share(s.OnTime))
}

// alone writes the attempts to brew alone, failed ones too.
func (p *paper) alone() {
	fits := slices.DeleteFunc(p.Record.Fit(p.Attempts), func(f drift.Fit) bool {
		return len(p.Choice.Persons) > 0 && !slices.ContainsFunc(p.Choice.Persons, func(name string) bool { return drift.Same(name, f.Attempt.Person) })
	})
	if len(fits) == 0 {
		return
	}
	p.put("<section class=\"whole\">\n<h3>Attempts to brew alone</h3>\n")
	p.open("Attempts to brew alone, the failed ones too", "All of a person's beats must be on time by slip in every brew that counts. Beside it stands the rate of all brews since the first attempt, so that trying again proves nothing.")
	p.columns("Person", "opened", "version", "how it stands", "on time throughout", "rate at least (95 %)")
	p.put("<tbody>\n")
	for _, f := range fits {
		p.put(`<tr><th scope="row">%s</th><td class="n">%s</td><td>%s</td><td>%s</td><td class="n">%d of %d</td><td class="n">%s</td></tr>`+"\n",
			f.Attempt.Person, f.Attempt.Opened.Format("2006-01-02"), f.Attempt.Version, p.stands(f), f.OnTime, f.Of, rateAtLeast(f))
	}
	p.put("</tbody>\n</table>\n</div>\n</section>\n")
}

// stands says how an attempt stands, and what of it could not be judged.
func (p *paper) stands(f drift.Fit) string {
	text := p.outcome(f)
	if f.Untold > 0 {
		text += fmt.Sprintf("; not judged, for the bed's lateness may be in them: %s", counted(f.Untold, "beat"))
	}
	return text
}

func (p *paper) outcome(f drift.Fit) string {
	switch f.Standing {
	case drift.Failed:
		return fmt.Sprintf("failed at brew %d of %d, %s: %s", f.Done+1, f.Attempt.Brews, day(p.Record.Head(f.Failed).Start), f.Why)
	case drift.Passed:
		return fmt.Sprintf("passed, %d of %d", f.Done, f.Attempt.Brews)
	case drift.Void:
		return "void, " + f.Why
	}
	return fmt.Sprintf("%s, %d of %d brewed", f.Standing, f.Done, f.Attempt.Brews)
}

func rateAtLeast(f drift.Fit) string {
	if f.Of == 0 {
		return "no brew yet"
	}
	return percent(f.AtLeast)
}
