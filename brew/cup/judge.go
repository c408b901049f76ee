package cup

import (
	"fmt"
	"math"
)

// Whose is what a cup that is off is set down to.
type Whose string

// The verdicts on a cup.
const (
	NotKnown Whose = ""         // no reading, no aim, or nobody knows what such a drift does
	AsAimed  Whose = "as aimed" // nothing to set down
	OfRecipe Whose = "recipe"   // brewed as written, and off all the same
	OfPerson Whose = "person"
	OfBed    Whose = "bed"
	OfNone   Whose = "none" // what drifted does not explain it, or came of neither
)

// LeastMiss returns how far a reading may be from its aim and still be as
// aimed, in percentage points, even where it was read more finely: 0.05 of the
// strength, 0.5 of the extraction; common practice, no source.
func LeastMiss(reading Name) float64 {
	if reading == Strength {
		return 0.05
	}
	return 0.5
}

// Drifted is how far one brew strayed in one cause, and what that does.
type Drifted struct {
	Cause  Cause
	By     float64 // drift, in the cause's unit
	Off    bool    // outside its window
	Person float64 // how much of By the person's hands made, in the same unit
	Bed    float64 // how much of it the bed did; what is left came with neither
	Effect Range   // percentage points for a unit of By, from Learn or ContactEffect; zero where unknown
}

// Cup is one cup to be judged by one reading.
type Cup struct {
	Reading Name      // Strength or Extraction
	Read    Quantity  // in per cent; 0 where not read
	Aim     float64   // the recipe's, in per cent; 0 for none
	Drifts  []Drifted // of what was kept; none where nothing was marked
}

// Verdict is what a cup is set down to.
type Verdict struct {
	Whose     Whose
	Miss      float64 // read less aim, percentage points
	Explained Range   // what the drifts should have done to it, percentage points
	Sure      bool    // of OfPerson and OfBed: even the least effect explains half of the miss
	Text      string  // one sentence
}

// Judge returns what one cup is set down to. Within twice its uncertainty of
// the aim, or within LeastMiss, it is as aimed. Off and brewed inside all
// windows, it is the recipe's, or of what no recipe holds. Off and brewed
// outside of one, it is the person's or the bed's where the drifts could
// explain half of the miss or more, and the one of them that made more of the
// drifts made half of them or more; else it is none of theirs. In doubt it is
// the bed's. One cup proves nothing, and the text says so by its 'may'.
func Judge(c Cup) Verdict {
	if c.Read.Value == 0 || c.Aim == 0 {
		return Verdict{Text: fmt.Sprintf("Nothing to judge the cup by: it takes a reading and an aim of the %s.", c.Reading)}
	}
	v := Verdict{Miss: c.Read.Value - c.Aim}
	off, known := false, true
	for _, d := range c.Drifts {
		off = off || d.Off
		known = known && (!d.Off || d.Effect != Range{})
		v.Explained = v.Explained.plus(d.Effect.times(d.By))
	}
	missed := fmt.Sprintf("The %s is %s points off its aim", c.Reading, points(v.Miss))
	switch {
	case math.Abs(v.Miss) <= math.Max(2*c.Read.U, LeastMiss(c.Reading)):
		v.Whose, v.Text = AsAimed, fmt.Sprintf("The %s is as aimed, as far as it can be read.", c.Reading)
	case len(c.Drifts) == 0:
		v.Text = missed + ", and nothing was marked that could say why."
	case !off:
		v.Whose, v.Text = OfRecipe, missed+", and it was brewed as written: look at the recipe, or at coffee, grinder and water."
	case !known:
		v.Text = missed + ", and it was not brewed as written, but nobody knows what such a drift does."
	default:
		v.setDown(c, missed)
	}
	return v
}

// setDown judges a cup that is off and was not brewed as written.
func (v *Verdict) setDown(c Cup, missed string) {
	least, most := v.Explained.Low, v.Explained.High
	if v.Miss < 0 {
		least, most = -most, -least
	}
	half := math.Abs(v.Miss) / 2
	person, bed, all := c.made(v.Miss)
	switch {
	case most < half:
		v.Whose, v.Text = OfNone, missed+fmt.Sprintf(", and what drifted explains %s to %s of it: look elsewhere.", points(v.Explained.Low), points(v.Explained.High))
	case max(person, bed) < all/2 || max(person, bed) <= 0:
		v.Whose, v.Text = OfNone, missed+", and the drift that may explain it came for the most part of neither hands nor bed."
	default:
		v.Whose, v.Sure = OfPerson, least >= half
		by := "the hands"
		if bed >= person { // in doubt for the person
			v.Whose, by = OfBed, "the bed"
		}
		may := "may explain"
		if v.Sure {
			may = "explains"
		}
		v.Text = missed + fmt.Sprintf(", and what drifted, most of it by %s, %s that (%s to %s).", by, may, points(v.Explained.Low), points(v.Explained.High))
	}
}

// made returns how far person, bed and all there was pushed the cup towards
// its miss, by the middle of each effect of a drift outside its window.
func (c Cup) made(miss float64) (person, bed, all float64) {
	towards := math.Copysign(1, miss)
	for _, d := range c.Drifts {
		if d.Off {
			middle := towards * (d.Effect.Low + d.Effect.High) / 2
			person, bed, all = person+middle*d.Person, bed+middle*d.Bed, all+middle*d.By
		}
	}
	return person, bed, all
}

func (r Range) plus(o Range) Range { return Range{r.Low + o.Low, r.High + o.High} }

func (r Range) times(x float64) Range { return rangeOf(r.Low*x, r.High*x) }
