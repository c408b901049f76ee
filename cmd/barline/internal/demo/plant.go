package demo

import (
	"math"

	"barline/brew"
)

// What is planted, in seconds.
const (
	// StirLate is how much later everybody ends the press's stir: four turns
	// take twice as long as its writer thought. What follows inherits it.
	StirLate   = 5.0
	stirSpread = 1.2 // standard deviation
	// JunLate is how much later Jun is with each beat in the first week. It is
	// half as much every JunHalves weeks.
	JunLate   = 4.5
	JunHalves = 4.0
	// KettleLate is how much later every pour but the first is in the week in
	// which the kettle was slow.
	KettleLate = 3.5
	// BedSooner is how much sooner the flat bed is dry since its bloom is longer.
	BedSooner = 5.0
	// Distracted is how much later Mo ends the last pour when a guest asks him
	// something in the middle of his attempt.
	Distracted = 9.0
)

// When it is planted, in weeks of the bar from 0.
const (
	newVersionWeek = 13
	kettleWeek     = 16
)

func (y *year) kettleSlow(week int) bool { return !y.Plain && week == kettleWeek }

// slip draws how far behind its call a beat happens, in seconds: what the
// person, or the bed, does, and what is planted.
func (p *player) slip(b brew.Beat) float64 {
	if b.Owner == brew.Bed {
		return bedSpread*p.draw.NormFloat64() + p.plantedBed()
	}
	if p.watched != nil {
		return p.person.steady(p.draw) + p.planted(b)
	}
	return p.person.slip(p.draw) + p.planted(b)
}

func (p *player) plantedBed() float64 {
	if p.Plain || p.dish.stem != FlatBed || p.week < newVersionWeek {
		return 0
	}
	return -BedSooner
}

func (p *player) planted(b brew.Beat) float64 {
	if p.Plain {
		return 0
	}
	late, action := 0.0, p.lane.Plan().Cues[b.Cue].Action
	if action == brew.Stir && p.dish.stem == Press {
		late += StirLate + stirSpread*skewed(p.draw)
	}
	if action == brew.Pour && b.Cue > 0 && p.kettleSlow(p.week) {
		late += KettleLate
	}
	if p.person.name == Jun {
		late += JunLate * math.Exp2(-float64(p.week)/JunHalves)
	}
	if p.watched.distracts() && p.lastPour(b) {
		late += Distracted
	}
	return late
}

// lastPour reports whether no pour comes behind the beat's.
func (p *player) lastPour(b brew.Beat) bool {
	cues := p.lane.Plan().Cues
	for _, c := range cues[b.Cue+1:] {
		if c.Action == brew.Pour {
			return false
		}
	}
	return cues[b.Cue].Action == brew.Pour
}
