package demo

import (
	"barline/brew"
	"barline/brew/drift"
	"barline/cmd/barline/internal/journal"

	"github.com/google/uuid"
)

// The weeks from which limits are frozen: four quiet ones.
const frozenFrom, frozenTo = 4, 8

// freeze writes down the limits of the slips that end the cone's last pour, as
// Ada froze them. Where the weeks hold too few brews nothing is frozen.
func (y *year) freeze() error {
	v := y.menu[0].newest()
	key := lastOwn(v.plan)
	r := y.journal.Record(v.plan.Name)
	s, ok := r.Choose(drift.Choice{}).Series(drift.Beats, key, drift.BySlip)
	if !ok {
		return nil
	}
	over := drift.Baseline{Since: y.begins(frozenFrom), Until: y.begins(frozenTo)}
	c := s.Control(over)[0]
	if c.Withheld != "" || s.Start(c.Points[c.From]).Before(over.Since) {
		return nil
	}
	id := func(i int) string { return uuid.UUID(r.Head(int(s.Brews[c.Points[i]])).ID).String() }
	const ns = 1e9 // a second's
	b := journal.Baseline{
		Version: v.plan.Version, Beat: key, Measure: string(drift.BySlip), First: id(c.From), Last: id(c.Judge - 1),
		Brews: c.Judge - c.From, Low: c.Limits.Low * ns, Centre: c.Limits.Centre * ns, High: c.Limits.High * ns,
		Made: over.Until.Add(opens), By: Ada,
	}
	var err error
	if b.ID, err = journal.NewID(b.Made, y.ids); err != nil {
		return err
	}
	y.journal.Baselines = append(y.journal.Baselines, b)
	return nil
}

// lastOwn returns the key of the last beat that is the person's.
func lastOwn(p *brew.Plan) (key string) {
	for _, b := range p.Beats {
		if b.Asked && b.Owner == brew.Person {
			key = b.Key
		}
	}
	return key
}
