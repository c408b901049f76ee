package main

import (
	"fmt"
	"io"

	"barline/brew/drift"
)

// pair is two sets that are set against each other.
type pair struct {
	a, b   drift.Set
	names  [2]string
	common int // brews of both, which were taken from the first
}

// apart returns the set and the second one, nil where none was asked for.
func (m lookedAt) apart() (*pair, error) {
	second, err := m.flags.second()
	if err != nil || second == nil {
		return nil, err
	}
	choice, err := second.choose(m.record)
	if err != nil {
		return nil, err
	}
	p := pair{b: m.record.Choose(choice)}
	p.a = m.set.Without(p.b)
	p.common = m.set.Len() - p.a.Len()
	for _, s := range []struct {
		of   drift.Set
		what string
	}{{p.b, "--against"}, {p.a, "what is not in --against"}} {
		if s.of.Len() == 0 {
			return nil, &inputError{fmt.Sprintf("%s %s holds no brew", s.what, m.flags.against), "ask for other persons, days or versions"}
		}
	}
	p.names = [2]string{m.flags.choice.called(m.choice.Persons, *second), second.called(choice.Persons, m.flags.choice)}
	if p.names[0] == "everyone" || p.names[0] == p.names[1] {
		p.names[0] = "the others"
	}
	return &p, nil
}

// head says which two they are.
func (p pair) head(w io.Writer) {
	lines(w, "", fmt.Sprintf("%s (%s) against %s (%s), by slip", p.names[0], counted(p.a.Len(), "brew"), p.names[1], counted(p.b.Len(), "brew")))
	if p.common > 0 {
		lines(w, "", fmt.Sprintf("%s of both sets count for the second", counted(p.common, "brew")))
	}
	if max(p.a.Len(), p.b.Len()) > drift.Latest {
		lines(w, "", fmt.Sprintf("of each the latest %d values are compared", drift.Latest))
	}
}
