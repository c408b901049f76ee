package rehearsal

import "time"

// At returns the moment of the routine that the page has reached.
func (p Page) At() time.Duration { return p.at() }
