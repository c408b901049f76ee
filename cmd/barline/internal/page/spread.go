package page

import (
	"fmt"
	"math"
	"slices"

	"barline/brew/drift"
)

// spreads writes a picture of each beat's drifts against its window.
func (p *paper) spreads() {
	var beats []drift.Series
	for _, r := range p.rows {
		c := r.summary.Column
		if s, _ := p.set.Series(c.What, c.Key, drift.ByDrift); c.What == drift.Beats && s.Tally.Marked > 0 {
			beats = append(beats, s)
		}
	}
	if len(beats) == 0 {
		return
	}
	p.put("<h2>How far off</h2>\n<p>Each picture shows a beat's drifts. What was on time is solid and lies in the window, between the two uprights; early and late lie hollow on either side of it. The triangle is the median.</p>\n<div class=\"grid\">\n")
	for i, s := range beats {
		p.spread(fmt.Sprintf("spread-%d", i+1), s)
	}
	p.put("</div>\n")
}

// spread is the picture's measure: what lies where, in tenths of a second.
type spread struct {
	low, high   int // the window's edges; a value on an edge is inside
	left, right int // the first and the last tenth in the picture
	bin         int // tenths
	counts      map[int]int
	before      int // values left of the picture
	behind      int
}

const (
	spreadWidth  = 360.0
	spreadHeight = 132.0
	spreadFloor  = 104.0 // where the columns stand
	spreadTop    = 30.0
)

// spreadOf finds room for the window and for 98 of 100 values, though for no
// more than three windows on either side.
func spreadOf(s drift.Series) spread {
	tenth := make([]int, len(s.Values))
	for i, x := range s.Values {
		tenth[i] = int(math.Round(x * 10))
	}
	slices.Sort(tenth)
	w := s.Column.Window
	out := spread{low: -int(math.Round(w.Early.Seconds() * 10)), high: int(math.Round(w.Late.Seconds() * 10)), counts: map[int]int{}}
	span := max(out.high-out.low, 10)
	most := len(tenth) - 1
	out.left = max(min(out.low-span/4, tenth[most/100]), out.low-3*span)
	out.right = min(max(out.high+span/4, tenth[most-most/100]), out.high+3*span)
	out.bin = max(1, int(math.Ceil(float64(out.right-out.left+1)/60)))
	for _, t := range tenth {
		switch {
		case t < out.left:
			out.before++
		case t > out.right:
			out.behind++
		default:
			out.counts[out.first(t)]++
		}
	}
	return out
}

// first returns the first tenth of the column that holds t. No column crosses
// an edge of the window.
func (s spread) first(t int) int {
	switch {
	case t < s.low:
		return s.low - s.bin*((s.low-1-t)/s.bin+1)
	case t > s.high:
		return s.high + 1 + s.bin*((t-s.high-1)/s.bin)
	}
	return s.low + s.bin*((t-s.low)/s.bin)
}

// wide returns how many tenths the column has that begins at first.
func (s spread) wide(first int) int {
	if first <= s.high && first+s.bin > s.high {
		return s.high - first + 1
	}
	return s.bin
}

// x returns where a time in tenths lies; a tenth takes the room from half a
// tenth before it to half a tenth behind.
func (s spread) x(t float64) float64 {
	const margin = 24.0
	return margin + (t-float64(s.left)+0.5)/float64(s.right-s.left+1)*(spreadWidth-2*margin)
}

func (p *paper) spread(id string, of drift.Series) {
	s, sum := spreadOf(of), of.Summary()
	p.put("<figure>\n<figcaption><b>%s</b>%s</figcaption>\n", of.Column.Name, spreadCaption(sum))
	p.picture(id, spreadWidth, spreadHeight, of.Column.Name+": drift against the window", spreadWords(s, sum), func() {
		low, high := s.x(float64(s.low)-0.5), s.x(float64(s.high)+0.5)
		p.box("band", low, spreadTop-6, high-low, spreadFloor-spreadTop+6)
		p.stacks(s)
		p.line("rule", 0, spreadFloor, spreadWidth, spreadFloor)
		for _, x := range []float64{low, high} {
			p.line("edge", x, spreadTop-8, x, spreadFloor+4)
		}
		p.spreadLabels(s, sum, low, high)
	})
	p.put("</figure>\n")
}

// stacks draws the columns, as high as the values are dense in them.
func (p *paper) stacks(s spread) {
	most := 0.0
	for first, n := range s.counts {
		most = max(most, float64(n)/float64(s.wide(first)))
	}
	var order []int
	for first := range s.counts {
		order = append(order, first)
	}
	slices.Sort(order)
	for _, first := range order {
		wide := s.wide(first)
		height := max(1, float64(s.counts[first])/float64(wide)/most*(spreadFloor-spreadTop-4))
		from, to := s.x(float64(first)-0.5), s.x(float64(first+wide)-0.5)
		class := "within"
		switch {
		case first < s.low:
			class = "early"
		case first > s.high:
			class = "late"
		}
		p.box(class, max(0, from)+0.4, spreadFloor-height, max(0.6, min(to, spreadWidth)-max(0, from)-0.8), height)
	}
}

// spreadLabels writes the figures: of the window's edges, of what is early and
// late, of what is beyond the picture, and the median's sign.
func (p *paper) spreadLabels(s spread, sum drift.Summary, low, high float64) {
	y := spreadFloor + 16
	p.label("middle", low, y, amount(float64(s.low)/10))
	p.label("middle", high, y, amount(float64(s.high)/10))
	if zero := s.x(0); zero > low+24 && zero < high-24 {
		p.label("faint middle", zero, y, "0")
	}
	p.label("early start", 0, 12, fmt.Sprintf("early %d", sum.Tally.Early))
	p.label("late end", spreadWidth, 12, fmt.Sprintf("late %d", sum.Tally.Late))
	if s.before > 0 {
		p.label("faint start", 0, spreadHeight-2, fmt.Sprintf("‹ %d farther", s.before))
	}
	if s.behind > 0 {
		p.label("faint end", spreadWidth, spreadHeight-2, fmt.Sprintf("%d farther ›", s.behind))
	}
	if sum.Median.Withheld == "" {
		x := min(max(s.x(sum.Median.Value*10), 8), spreadWidth-8)
		p.path("median", at(x, spreadTop-7)+"l-4.5 -7h9z")
	}
}

// spreadCaption says the figures beside the picture.
func spreadCaption(s drift.Summary) string {
	text := fmt.Sprintf("%d marked, %s on time; window %s; median ", s.Tally.Marked, share(s.OnTime), window(s.Column.Window))
	if s.Median.Withheld != "" {
		return text + "withheld: " + s.Median.Withheld.For("median")
	}
	return text + with(amount(s.Median.Value), "s")
}

// spreadWords says the picture for who does not see it.
func spreadWords(s spread, sum drift.Summary) string {
	t := sum.Tally
	text := fmt.Sprintf("A histogram of %s from %s to %s. The window is %s: %d are early, %d on time, %d late.",
		counted(t.Marked, "mark"), with(amount(float64(s.left)/10), "s"), with(amount(float64(s.right)/10), "s"), window(sum.Column.Window), t.Early, t.OnTime, t.Late)
	if sum.Median.Withheld == "" {
		text += " The median is " + with(amount(sum.Median.Value), "s") + "."
	}
	if sum.Lower.Withheld == "" {
		text += fmt.Sprintf(" Half of them lie between %s and %s.", with(amount(sum.Lower.Value), "s"), with(amount(sum.Upper.Value), "s"))
	}
	if beyond := s.before + s.behind; beyond > 0 {
		text += fmt.Sprintf(" %d lie beyond the picture, %d to the left and %d to the right.", beyond, s.before, s.behind)
	}
	return text
}
