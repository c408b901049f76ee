package drift

import (
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"barline/brew"
)

// Says is what a sentence says.
type Says string

// What can be said of where the time went.
const (
	SaysNothing Says = "nothing"  // no mark, so no judgement
	SaysOnTime  Says = "on time"  // cup, hands and bed
	SaysHand    Says = "hand"     // a slip of the person's was outside its window
	SaysBoth    Says = "both"     // one of the person's and one of the bed's
	SaysBed     Says = "bed"      // the bed's alone
	SaysUntold  Says = "untold"   // one of the hand's or the bed's, and nobody can tell which
	SaysAddedUp Says = "added up" // no slip was, but the drift of a beat was
	SaysSkipped Says = "skipped"  // the same, and early behind a skipped step
	SaysHeldUp  Says = "held up"  // the same, and late behind another brew
)

// Sentence is where the time went, in one sentence and in its figures.
type Sentence struct {
	Says Says          `json:"says"`
	Row  int           `json:"row"`    // the row it is about; -1 for none
	Off  time.Duration `json:"off_ns"` // of a slip where Says is hand, both, bed or untold, else of the drift
	Text string        `json:"text"`
}

// sentence returns the one sentence: under which circumstances, where the
// time went, and how much of it is known.
func (d Debrief) sentence() Sentence {
	s := d.verdict()
	if under := d.circumstances(); len(under) > 0 {
		s.Text = strings.Join(under, ", ") + ": " + s.Text
	}
	first, size := utf8.DecodeRuneInString(s.Text)
	s.Text = string(unicode.ToUpper(first)) + s.Text[size:] + "."
	return s
}

// circumstances returns what the sentence must be read under.
func (d Debrief) circumstances() []string {
	var out []string
	if s := d.Conditions.Speed; s != 1 {
		out = append(out, "at "+speed(s))
	}
	if d.From > 0 {
		out = append(out, "from "+brew.Exact(Tenths(d.From))+" on")
	}
	switch {
	case d.Ending == brew.Stopped, d.Ending == CutOff:
		out = append(out, string(d.Ending)+" at "+brew.Clock(d.End))
	case d.Ending == brew.Finished && d.Counts.NotReached > 0:
		out = append(out, "ended early at "+brew.Clock(d.End))
	case d.Ending == brew.Running && d.Started:
		out = append(out, "still brewing")
	}
	return out
}

// verdict picks what is worth saying: first what somebody made, then what
// only came together, and that all was well where nothing was off.
func (d Debrief) verdict() Sentence {
	hand, bed := d.made(brew.Person), d.made(brew.Bed)
	switch {
	case d.Counts.Marked == 0:
		return Sentence{SaysNothing, -1, 0, d.nothing()}
	case len(hand) > 0 && len(bed) > 0:
		return d.about(SaysBoth, hand[0], d.hands(hand)+", and "+d.Rows[bed[0]].bed()+" on its own"+d.known())
	case len(hand) > 0:
		return d.about(SaysHand, hand[0], d.hands(hand)+d.consequence(hand)+d.known())
	case len(bed) > 0:
		return d.about(SaysBed, bed[0], d.beds(bed[0])+d.known())
	}
	if i := d.untold(); i >= 0 {
		return d.about(SaysUntold, i, d.Rows[i].made()+", by the bed or the hand: "+d.Rows[i].unknown()+d.known())
	}
	if i := d.farthest(); i >= 0 {
		return d.inherited(i)
	}
	last := d.Lateness.Last
	return Sentence{SaysOnTime, last, d.Rows[last].Drift, d.onTime() + "; " + d.Rows[last].clocked()}
}

func (d Debrief) about(what Says, row int, text string) Sentence {
	return Sentence{what, row, d.Rows[row].Slip, text}
}

// made returns the rows of the owner whose slip is outside its window, the
// largest first.
func (d Debrief) made(owner brew.Owner) []int {
	return slices.DeleteFunc(slices.Clone(d.Lateness.Made), func(i int) bool { return d.Rows[i].Owner != owner })
}

// untold returns the row with the largest slip that is the hand's or the bed's,
// -1 for none.
func (d Debrief) untold() int {
	best := -1
	for i, r := range d.Rows {
		if r.IsUntold() && (best < 0 || Tenths(r.Slip.Abs()) > Tenths(d.Rows[best].Slip.Abs())) {
			best = i
		}
	}
	return best
}

// farthest returns the row with the largest drift outside its window, -1 for
// none.
func (d Debrief) farthest() int {
	best := -1
	for i, r := range d.Rows {
		if r.Cup.Off() && (best < 0 || Tenths(r.Drift.Abs()) > Tenths(d.Rows[best].Drift.Abs())) {
			best = i
		}
	}
	return best
}

// nothing says why there is no judgement.
func (d Debrief) nothing() string {
	none := "so nothing can be said of the hand"
	c := d.Counts
	switch {
	case !d.Started:
		return "the brew has not started"
	case len(d.Rows) == 0:
		return "no beat was asked, " + none
	case d.Ending == brew.Running:
		return "no beat is marked yet"
	case c.Strays > 0:
		return "no beat was marked, for " + times(c.Strays, "the one mark", "marks") + " came when none was due, " + none
	case c.Unmarked+c.Skipped == 0:
		return "no asked beat had come, " + none
	}
	return "no beat was marked, " + none
}

// onTime says how far 'on time' reaches.
func (d Debrief) onTime() string {
	c, text := d.Counts, "on time"
	switch {
	case c.Unmarked > 0:
		text += " where it was marked, " + of(c.Marked, c.Marked+c.Unmarked)
	case d.Ending == brew.Running:
		text += " so far"
	case d.Ending != brew.Finished || c.NotReached > 0:
		text += " until then"
	case d.From == 0 && c.Skips == 0:
		text += " throughout"
	}
	if c.Skips > 0 {
		text += ", " + times(c.Skips, "one step", "steps") + " skipped"
	}
	return text
}

// hands says which beats of the person's were off.
func (d Debrief) hands(rows []int) string {
	worst := d.Rows[rows[0]]
	switch len(rows) {
	case 1:
		return worst.made()
	case 2:
		first, second := min(rows[0], rows[1]), max(rows[0], rows[1])
		return d.Rows[first].made() + " and " + d.Rows[second].made()
	}
	how := string(worst.Person)
	if slices.ContainsFunc(rows, func(i int) bool { return d.Rows[i].Person != worst.Person }) {
		how = "off"
	}
	return times(len(rows), "", "beats") + " were " + how + ", most of all where " + worst.made()
}

// consequence says what one slip did to the rest.
func (d Debrief) consequence(rows []int) string {
	if len(rows) > 1 {
		return ""
	}
	others := 0
	for i, r := range d.Rows {
		switch {
		case i == rows[0] || !r.IsMarked():
			continue
		case r.IsUntold():
			return ""
		case i > rows[0] && r.Cup == d.Rows[rows[0]].Person:
			return "; what followed was " + string(r.Cup) + " by what it inherited"
		case r.Cup.Off():
			return ""
		}
		others++
	}
	switch {
	case others == 0:
		return ""
	case rows[0] == d.Lateness.Last:
		return "; all before it was on time" + d.where()
	}
	return "; the rest was on time" + d.where()
}

// beds says what the bed did while the hands were on time.
func (d Debrief) beds(row int) string {
	text := d.Rows[row].bed()
	if d.Rows[row].StartUnmarked {
		text += ", from a start that was not marked"
	}
	return text + d.handsOnTime()
}

// handsOnTime says so, if there was a mark to say it by.
func (d Debrief) handsOnTime() string {
	if !slices.ContainsFunc(d.Rows, func(r Row) bool { return r.Person != NoVerdict }) {
		return "; no beat of the hand was marked"
	}
	if d.untold() >= 0 {
		return "; the hands were on time where that can be told"
	}
	return "; the hands were on time" + d.where()
}

// inherited says how a beat could be off though nobody made it so.
func (d Debrief) inherited(row int) Sentence {
	r := d.Rows[row]
	s := Sentence{SaysAddedUp, row, r.Drift, "no beat was " + string(r.Cup) + " by itself, but it added up: " + r.clocked()}
	switch {
	case d.Counts.Skips > 0 && r.Cup == Early:
		s.Says = SaysSkipped
		s.Text = times(d.Counts.Skips, "one step was", "steps were") + " skipped, so " + r.clocked() + d.handsOnTime()
	case d.Counts.Moves > 0 && r.Cup == Late:
		s.Says = SaysHeldUp
		s.Text = "another brew came first, so " + r.clocked() + d.handsOnTime()
	}
	s.Text += d.known()
	return s
}

// where limits a claim to what was marked, unless known says so anyway.
func (d Debrief) where() string {
	if d.Counts.Unmarked > 0 && d.known() == "" {
		return " where it was marked"
	}
	return ""
}

// known owns up to missing marks where half of them or more are.
func (d Debrief) known() string {
	if c := d.Counts; c.Unmarked >= c.Marked {
		return "; " + of(c.Unmarked, c.Marked+c.Unmarked) + " went unmarked"
	}
	return ""
}
