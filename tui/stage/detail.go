package stage

import "barline/tui/draw"

// details returns the rows that say what to do, by when and how much is left
// of it. What must be there is there whole; what is good to know goes where
// it does not fit. left is the countdown where it stands nowhere else; it
// takes a second row.
func (v View) details(width, rows int, left string) []string {
	name, label, prompt := Lead(v.Lane), Lead(v.Label), v.Prompt
	if rows < 2 {
		return []string{v.detail(width)}
	}
	var texts []string
	for known := len(v.Also); known >= 0; known-- {
		texts = append(texts, name+v.listed(left, known))
	}
	tail := Fitting(width, append(texts, v.listed(left, 0), v.Until)...)
	if v.listed(left, len(v.Also)) == "" {
		tail = draw.Fit(v.Lane, width)
	}
	if draw.Width(label+prompt) <= width {
		prompt = label + prompt
	}
	// On a screen too narrow for both, the seconds left stand for the time.
	if tail == "" || left == "" && len(draw.Wrap(prompt, width)) >= rows {
		return wrap(prompt, width, rows)
	}
	return append(wrap(prompt, width, rows-1), tail)
}

// detail returns all of it in one row: what is good to know goes first where
// there is no room, then the label, then the most important thing to know,
// then whose it is, then by when.
func (v View) detail(width int) string {
	name, label := Lead(v.Lane), Lead(v.Label)
	var texts []string
	for known := max(len(v.Also), 1); known >= 1; known-- {
		texts = append(texts, name+label+v.listed(v.Prompt, known))
	}
	return Fitting(width, append(texts, name+v.listed(v.Prompt, 1), name+v.listed(v.Prompt, 0), v.listed(v.Prompt, 0), v.Prompt)...)
}

// listed returns a text, by when, and so many of the things to know.
func (v View) listed(text string, known int) string {
	return listed(append([]string{text, v.Until}, v.Also[:min(known, len(v.Also))]...)...)
}

// lines returns the rows that say what comes next and in how long, and their
// role.
func (n Next) lines(width, rows int) (lines []string, role draw.Role) {
	switch {
	case n.Prompt == "" && n.Quiet:
		return nil, draw.Plain
	case n.Prompt == "":
		return []string{draw.Fit("nothing after this", width)}, draw.Faint
	}
	word, role := "next", draw.Plain
	if n.Soon {
		word, role = ">>>>", draw.Now
	}
	soon := word + " in " + n.In
	in, at := soon+comma(n.Lane), comma(n.At)
	if rows < 2 {
		return []string{Fitting(width, in+": "+n.Prompt+at, in+": "+n.Prompt, soon+": "+n.Prompt)}, role
	}
	return append([]string{Fitting(width, in+at, in)}, wrap(n.Prompt, width, rows-1)...), role
}
