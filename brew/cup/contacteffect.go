package cup

import (
	"fmt"
	"time"

	"barline/brew"
)

// Change is what a change of contact time does to the strength by published
// kinetics, in percentage points: an estimate.
type Change struct {
	By     time.Duration // of contact, - is shorter
	Middle float64
	Range
	Text string // one sentence
}

// ContactEffect returns what so much more contact than a plan has does to the
// strength in the server, or less where it is negative. It is false where
// nothing published says: no full immersion, or no end of contact in the plan.
// The range is over the published grinds, an unstirred steep and the spread of
// what coffees give.
func ContactEffect(p *brew.Plan, by time.Duration) (Change, bool) {
	balance, _ := BalanceOf(p.Method)
	if balance != Immersion || !p.HasContact {
		return Change{}, false
	}
	end, kept := inTheEnd, keptIn(p.Method)
	if p.Method == brew.Cupping {
		end = inTheBowlsEnd
	}
	moved := func(c curve, share, kept float64) float64 {
		strength := func(t time.Duration) float64 { return float64(inServer(p, balance, share*c.at(t), kept)) }
		return strength(p.Contact+by) - strength(p.Contact)
	}
	var all []float64
	for _, c := range append([]curve{unstirred}, curves...) {
		for _, share := range []float64{end.Low, end.High} {
			all = append(all, moved(c, share, kept.Low), moved(c, share, kept.High))
		}
	}
	out := Change{By: by, Middle: moved(curves[2], end.middle, kept.middle), Range: rangeOf(all...)}
	out.Text = fmt.Sprintf("%s of contact should move the strength by %s points, %s to %s by published kinetics: an estimate.",
		brew.Signed(by), points(out.Middle), points(out.Low), points(out.High))
	return out, true
}

// PressEffect returns what a press that took so much longer than the plan's does
// to the strength in the server, or shorter where it is negative. What has run
// out steeps no more, so it lies between nothing and what as much contact does:
// in the middle half of it, as of liquor that leaves evenly. What squeezing
// itself does is in no published figure. It is false where ContactEffect is.
func PressEffect(p *brew.Plan, by time.Duration) (Change, bool) {
	out, ok := ContactEffect(p, by)
	if !ok {
		return out, false
	}
	out.Middle /= 2
	out.Range = rangeOf(0, out.Low, out.High)
	out.Text = fmt.Sprintf("%s of pressing should move the strength by %s points, %s to %s by published kinetics, for what has run out steeps no more: an estimate.",
		brew.Signed(by), points(out.Middle), points(out.Low), points(out.High))
	return out, true
}

// PerSecond returns what a second of the change did, in percentage points, as
// Judge asks for it; nothing of no change.
func (c Change) PerSecond() Range {
	if c.By == 0 {
		return Range{}
	}
	return c.Range.times(1 / c.By.Seconds())
}

// WaterEffect returns what a gram more of water on the coffee does to the
// strength in the server, in percentage points, by mass balance at the
// extraction that Expect gives. In full immersion the extraction at
// equilibrium does not depend on the water; through a bed more water also
// takes more out, so that there the range ends at no effect. It is false for a
// method without a balance.
func WaterEffect(p *brew.Plan) (Range, bool) {
	balance, known := BalanceOf(p.Method)
	if !known {
		return Range{}, false
	}
	share, kept := throughABed, keptIn(p.Method)
	if balance == Immersion {
		share = steeped(p)
	}
	more := *p
	more.Water += brew.Gram
	var all []float64
	for _, s := range []float64{share.Low, share.High} {
		for _, k := range []float64{kept.Low, kept.High} {
			all = append(all, float64(inServer(&more, balance, s, k)-inServer(p, balance, s, k)))
		}
	}
	if balance == Percolation {
		all = append(all, 0)
	}
	return rangeOf(all...), true
}

// points returns a difference of percentages with its sign, to a hundredth.
func points(x float64) string {
	text := fmt.Sprintf("%+.2f", x)
	if text == "-0.00" || text == "+0.00" {
		return "0.00"
	}
	return text
}
