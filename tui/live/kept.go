package live

// Kept is what a Recorder has answered so far, in whatever order: when it has
// kept one event it has kept all before. The zero Kept has heard nothing.
type Kept struct {
	safe   int   // how many events are kept
	fault  error // why event faulty is not; nil where nothing is amiss
	faulty int
}

// KeptUpTo is that so many events are kept already, as of a brew that is taken
// up.
func KeptUpTo(events int) Kept { return Kept{safe: events} }

// Answer takes note of the answer for event n: nil is that it is safe.
func (k Kept) Answer(n int, err error) Kept {
	switch {
	case k.Holds(n):
	case err != nil:
		k.fault, k.faulty = err, max(k.faulty, n)
	default:
		k.safe = n + 1
	}
	if k.safe > k.faulty {
		k.fault = nil
	}
	return k
}

// Holds reports whether event n is safe.
func (k Kept) Holds(n int) bool { return n < k.safe }

// Fault returns why an event is not kept, nil where nothing is amiss.
func (k Kept) Fault() error { return k.fault }
