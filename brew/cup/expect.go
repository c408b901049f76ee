package cup

import (
	"fmt"

	"barline/brew"
)

// Expected is the cup that published figures lead one to expect before it is
// brewed: an estimate. Strength is that of the server, bypass included; all
// are in per cent and 0 where nothing can be said.
type Expected struct {
	Strength   brew.Percent
	Low, High  brew.Percent // of the strength
	Extraction brew.Percent // dissolved, of the dose
	Valid      bool         // inside what the figures were measured for
	Why        string       // what the estimate rests on, or what it lacks to be valid
}

// What is dissolved at equilibrium, as a share of the dose: the middle by
// their constants, the ends by what they measured, two standard deviations to
// each side (20.70 ± 1.08 % in the jug; 23.9 ± 0.6 % in bowls, and down to
// 22.2 ± 0.4 % of decaffeinated ones; that ± is one standard deviation is our
// reading of it).
var (
	inTheEnd        = estimate{Jug.Extraction(), Range{0.207 - 2*0.0108, 0.207 + 2*0.0108}}
	inTheBowlsEnd   = estimate{Bowl.Extraction(), Range{0.222 - 2*0.004, 0.239 + 2*0.006}}
	throughABed     = estimate{0.20, Range{0.18, 0.22}} // the classic box (Lockhart 1957), no prediction
	keptOfWater     = estimate{2.25, Range{2.0, 2.5}}   // see UsualRetained
	keptOfLiquid    = estimate{2.48, Range{2.48 - 2*0.19, 2.48 + 2*0.19}}
	keptWhenPressed = estimate{2.48, Range{1.0, 2.48 + 2*0.19}} // the lower end is a guess
)

// estimate is a figure and the range that it is expected in.
type estimate struct {
	middle float64
	Range
}

// times returns the product with a share that has a range of its own.
func (e estimate) times(w Way) estimate {
	return estimate{e.middle * w.Middle, Range{e.Low * w.Low, e.High * w.High}}
}

// Expect returns the cup to expect of a plan. In presses, a pot and a bowl it
// is what full immersion comes to at equilibrium, as far as the contact time
// gets it; through a cone or a flat bed it is plain arithmetic on the classic
// 18 to 22 % of extraction, and never valid as a prediction.
func Expect(p *brew.Plan) Expected {
	balance, known := BalanceOf(p.Method)
	if !known {
		return Expected{Why: fmt.Sprintf("no published figures for the method %q", string(p.Method))}
	}
	share := throughABed
	if balance == Immersion {
		share = steeped(p)
	}
	out := Expected{
		Strength:   inServer(p, balance, share.middle, keptIn(p.Method).middle),
		Extraction: brew.Percent(100 * share.middle),
	}
	r := expectedRange(p, balance, share.Range)
	out.Low, out.High = brew.Percent(r.Low), brew.Percent(r.High)
	out.Valid, out.Why = validity(p, balance)
	return out
}

// steeped returns what a plan's contact time dissolves; all that there is
// where the plan has no end of contact.
func steeped(p *brew.Plan) estimate {
	end := inTheEnd
	if p.Method == brew.Cupping {
		end = inTheBowlsEnd
	}
	if !p.HasContact {
		return end
	}
	return end.times(HowFar(p.Contact))
}

func keptIn(m brew.Method) estimate {
	switch m {
	case brew.Cone, brew.FlatBed:
		return keptOfWater
	case brew.PressMethod, brew.InvertedPress:
		return keptWhenPressed
	}
	return keptOfLiquid
}

// inServer returns the strength in per cent, bypass included, when a share of
// the dose is dissolved and each gram of it keeps so much back; 0 where the
// grounds keep it all.
func inServer(p *brew.Plan, b Balance, share, kept float64) brew.Percent {
	dose, water := p.Dose.Grams(), p.Water.Grams()
	beverage := water + (share-kept)*dose
	if dose <= 0 || beverage <= 0 {
		return 0
	}
	solids := share * dose
	if b == Immersion {
		solids *= beverage / (water + solids) // the rest stays in the grounds
	}
	return brew.Percent(100 * solids / (beverage + p.Bypass.Grams()))
}

// expectedRange returns the range of the strength over those of the dissolved
// share and of what is kept.
func expectedRange(p *brew.Plan, b Balance, share Range) Range {
	kept := keptIn(p.Method)
	var all []float64
	for _, s := range []float64{share.Low, share.High} {
		for _, k := range []float64{kept.Low, kept.High} {
			all = append(all, float64(inServer(p, b, s, k)))
		}
	}
	return rangeOf(all...)
}

// validity says whether a plan lies inside what the figures were measured for.
func validity(p *brew.Plan, b Balance) (bool, string) {
	ratio, _ := brew.Recipe{Dose: p.Dose, Water: p.Water}.Ratio()
	switch {
	case b == Percolation:
		return false, "no prediction: what 18 to 22 % of extraction would make, for no law of a draining bed was found"
	case ratio < LeastEquilibriumRatio:
		return false, fmt.Sprintf("a ratio of 1:%s, but the law of full immersion was seen to hold from 1:3 on", decimal(ratio))
	case p.Temperature < LeastEquilibriumHeat || p.Temperature > MostEquilibriumHeat:
		return false, fmt.Sprintf("water of %s, but the law of full immersion was seen to hold from %s to %s", p.Temperature, LeastEquilibriumHeat, MostEquilibriumHeat)
	case !p.HasContact:
		return false, "the steps do not say when contact ends: full equilibrium, which takes 20 minutes and more"
	}
	return true, "full immersion at equilibrium, as far as " + brew.Spoken(p.Contact) + " of contact get it by published kinetics of five grinds"
}
