package rehearsal

import (
	"time"

	"barline/tui/draw"
)

// At returns the moment of the routine that the page has reached.
func (p Page) At() time.Duration { return p.at() }

// Changes returns the moment at which the page wakes next.
func (p Page) Changes() time.Duration { return p.changes() }

// Cues returns the prompts that must stand on every screen.
func (p Page) Cues() (out []string) {
	c := p.cast()
	for _, a := range []*act{c.now, c.next} {
		if a != nil {
			out = append(out, p.cueOf(*a).Prompt)
		}
	}
	return out
}

// Lane returns a lane as it is drawn.
func (p Page) Lane(i int) draw.Lane { return p.picture(p.cast()).Lanes[i] }

// Standing returns how things stand as it is told: the time left, and how far
// ahead or behind.
func (p Page) Standing() []string {
	left, _ := p.left()
	return []string{left, p.look.Standing.String()}
}
