package live

import "barline/brew/drift"

// Conditions returns what a debrief must know of the brew beside its lanes.
func (p Page) Conditions() drift.Conditions {
	return drift.Conditions{Kind: drift.Kind(p.opt.Kind), Speed: p.opt.Speed, CutOff: p.opt.CutOff}
}
