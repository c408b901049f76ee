package routine

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"time"
)

// version returns a hash of what is done and when: other words of the same
// length are the same routine, another recipe, start or order is not.
func (p *Plan) version() string {
	type line struct {
		Section       int
		Start, Length time.Duration
	}
	type cup struct {
		ID, Version string
		Zero        time.Duration
		Moves       []Move
	}
	normal := struct {
		Limit    time.Duration
		Sections []string
		Lines    []line
		Cups     []cup
		Hands    [][2]time.Duration
	}{Limit: p.Limit}
	for _, s := range p.Sections {
		normal.Sections = append(normal.Sections, s.Name)
	}
	for _, l := range p.Lines {
		normal.Lines = append(normal.Lines, line{l.Section, l.Start, l.Length})
	}
	for _, c := range p.Cups {
		normal.Cups = append(normal.Cups, cup{c.ID, c.Plan.Version, c.Zero, c.Moves})
	}
	for _, c := range p.Hands.Cues {
		normal.Hands = append(normal.Hands, [2]time.Duration{c.Start, c.End})
	}
	text, err := json.Marshal(normal)
	if err != nil {
		panic(err) // plain values
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:6])
}
