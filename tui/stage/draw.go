package stage

import "barline/tui/draw"

// Draw puts a view on a canvas.
func Draw(c *draw.Canvas, n Needs, v View, theme draw.Theme) {
	s := screen{c, Lay(c.Width, c.Height, n, theme.ASCII), n, v, theme.ASCII}
	s.title()
	s.clock()
	s.detail(s.action())
	s.next()
	s.below()
	if b := s.lay[LinePart]; b.H > 0 {
		c.Draw(0, b.Y, draw.Timeline(b.W, b.H, v.Picture, theme.ASCII))
	}
	s.mark()
	s.foot()
	s.care()
}

// screen is a view being drawn.
type screen struct {
	*draw.Canvas
	lay   Layout
	needs Needs
	v     View
	ascii bool
}

// title says what goes on, and what is out of the ordinary. A warning stands
// before all else.
func (s screen) title() { Title(s.Canvas, s.lay[TitlePart], s.v.Title, s.v.Aside, s.v.Warning) }

// Title draws a page's first row: what goes on to the left, the aside to the
// right. A warning takes the place of both.
func Title(c *draw.Canvas, b Box, title, aside, warning string) {
	if b.H == 0 {
		return
	}
	role := draw.Plain
	if warning != "" {
		title, role, aside = warning, draw.Caution, title
	}
	end := c.Text(0, b.Y, draw.Fit(title, b.W), role)
	if room := b.W - end - 2; room >= min(draw.Width(aside), leastTitle) {
		c.Right(b.W, b.Y, draw.Fit(aside, room), draw.Faint)
	}
}

// leastTitle is how much of a text must be seen for it to be worth showing.
const leastTitle = 8

// clock draws the clock and, to the right, the weight of this second or how
// far the press should be. On a screen of one row the action is there, too.
func (s screen) clock() {
	clock, role, badge, b := s.v.Clock, draw.Strong, s.v.Badge, s.lay[ClockPart]
	if s.v.Alarm {
		role = draw.Caution
	}
	if s.lay[ActionPart].H == 0 {
		clock += " " + s.v.Word
	}
	amount, usual := s.v.Amount, s.needs.Clock+" "+s.needs.Weight
	if faceFor(s.needs.Badge, usual, b.W, b.H, s.ascii) < draw.Face(b.H) {
		amount = bare(amount)
	}
	beside := clock
	if amount != "" {
		beside += " " + compact(amount)
	}
	f := faceFor(badge, beside, b.W, b.H, s.ascii) // smaller where it is later than was thought
	if badge != "" && b.H > 0 {
		Figure(s.Canvas, 0, b.Bottom()-int(f), f, badge, draw.Key, s.ascii)
	}
	s.large(b, badgeRoom(badge, b.W, f, beside, usual), f, clock, role, f, amount, draw.Water)
}

// actionRole is how the action stands out.
func (s screen) actionRole() draw.Role {
	if s.v.On {
		return draw.Now
	}
	return draw.Plain
}

// action draws the action and, to the right, the seconds until it ends or
// until the next begins, and reports whether these found room. A long word is
// smaller, so that they do; where it would be no larger than the other rows,
// and they may stand in the row of details, they give way.
func (s screen) action() (timed bool) {
	b := s.lay[ActionPart]
	if b.H == 0 {
		return false
	}
	tall := draw.Face(b.H)
	room := b.W - draw.FiguresWidth(compact(s.needs.Left), tall) - 2
	f := draw.FaceFor(s.v.Word, room, b.H, s.ascii)
	if f == draw.Line && s.lay[DetailPart].H > 1 {
		f = draw.FaceFor(s.v.Word, b.W, b.H, s.ascii)
	}
	return s.large(b, 0, f, s.v.Word, s.actionRole(), tall, s.v.Left, draw.Plain)
}

// large draws one text to the left, from a column on, and one to the right,
// both standing on the lowest row, and reports whether there was room for the
// right one. It is smaller where it is longer than was thought.
func (s screen) large(b Box, x int, f draw.Face, left string, leftRole draw.Role, g draw.Face, right string, rightRole draw.Role) bool {
	end := Figure(s.Canvas, x, b.Bottom()-int(f), f, left, leftRole, s.ascii)
	if g = draw.FaceFor(compact(right), b.W-end-2, int(g), s.ascii); g > draw.Line {
		right = compact(right)
	}
	from := b.W - draw.FiguresWidth(right, g)
	if right == "" || end+1 > from {
		return false
	}
	Figure(s.Canvas, from, b.Bottom()-int(g), g, right, rightRole, s.ascii)
	return true
}

// detail draws what to do and by when; timed is that the seconds left stand
// above it already.
func (s screen) detail(timed bool) {
	left := ""
	if !timed && s.v.Left != "" {
		left = s.v.Left + " left"
	}
	b := s.lay[DetailPart]
	s.rows(b, s.v.details(b.W, b.H, left), draw.Strong)
}

// next says what comes next and in how long; just before, it stands out.
func (s screen) next() {
	b := s.lay[NextPart]
	lines, role := s.v.Next.lines(b.W, b.H)
	s.rows(b, lines, role)
}

// below draws the page's own rows.
func (s screen) below() {
	b := s.lay[BelowPart]
	for i, t := range s.v.Below {
		s.rows(Box{b.X, b.Y + i, b.W, b.H - i}, []string{draw.Fit(t.Text, b.W)}, t.Role)
	}
}

// rows draws lines of text into a box, as many as it holds.
func (s screen) rows(b Box, lines []string, role draw.Role) {
	for i := 0; i < min(len(lines), b.H); i++ {
		s.Text(b.X, b.Y+i, lines[i], role)
	}
}

// care draws words of caution. What they need beyond their rows they take
// from the timeline; while their cue is still to come, from all below it, so
// that they can be read whole: at once, or where there are many lanes one part
// after the other. Why a cue is done so may take the timeline's
// first row, whose clock is there in large figures.
func (s screen) care() {
	care, line := s.v.Care, s.lay[LinePart]
	b, end := s.lay[CarePart], line.Bottom()
	if care.Role != draw.Caution {
		rows := b.H
		if b.H > 0 && b.Bottom() == line.Y && line.H > max(2, len(s.v.Picture.Lanes)) {
			rows++
		}
		s.over(b.Y, "", wrap(care.Text, b.W, rows), care.Role)
		return
	}
	switch {
	case s.needs.Lanes > 0 && line.H > len(s.v.Picture.Lanes): // what the other lanes do must be seen, too
		end = min(end, b.Y+mostCare)
	case s.needs.Lanes > 0:
		end = min(end, b.Y+max(b.H, 1))
	case care.Ahead:
		end = s.Height
	}
	if s.v.Ask != nil {
		end = min(end, s.Height-1)
	}
	s.over(b.Y, "! ", turned(draw.Wrap(care.Text, b.W-2), end-b.Y, s.v.At), care.Role)
}

// mostCare is how many rows words of caution take where there are many lanes.
const mostCare = 2

// over draws lines instead of whatever stands there, the first one with a
// lead.
func (s screen) over(y int, lead string, lines []string, role draw.Role) {
	for i, line := range lines {
		for x := range s.Width {
			s.Set(x, y+i, 0, draw.Plain)
		}
		if i == 0 {
			s.Text(0, y, lead, role)
		}
		s.Text(draw.Width(lead), y+i, line, role)
	}
}
