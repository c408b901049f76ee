package tui

import (
	"regexp"
	"sync"
	"time"
)

// outbox writes to the terminal from a goroutine of its own, so that one which
// takes its time holds up neither the keys nor the clock. Where it does not
// keep up, frames are left out, and once it has taken what was before them the
// whole screen is asked for: it shows late what is so now, never what was so
// long ago.
type outbox struct {
	write   func(parcel) error
	repaint func() // asks for the whole screen; nil for nobody to ask

	mu      sync.Mutex
	waiting []parcel
	since   time.Time // the oldest that is not written was handed in; zero for none
	missed  bool      // frames were left out
	fault   error     // of the latest write
	wake    chan struct{}
}

// parcel is what is written in one piece.
type parcel struct {
	text    []byte
	bell    bool
	latest  time.Time     // when it is of no use any more; zero for never
	reached chan struct{} // closed when its turn comes; nil for nobody waits
	at      time.Time     // when it was handed in
}

// heldUp is how long a terminal may take for what it was given before frames
// are left out. One that keeps up takes less than a frame's time of 17 ms.
const heldUp = 100 * time.Millisecond

// isControl reports whether what is written changes what the terminal does and
// not what it shows: that is never left out. The forms are those of ECMA-48
// and the DEC VT series.
var isControl = regexp.MustCompile(`^(\r|\x1b(\[[0-?]*[ -/]*[@-~]|[78=>]))+$`).Match

// post hands something in, and returns the fault of the latest write. What
// would come late is left out.
func (o *outbox) post(p parcel) error {
	o.mu.Lock()
	defer o.mu.Unlock()
	p.at = time.Now()
	late := !o.since.IsZero() && p.at.Sub(o.since) > heldUp
	switch {
	case late && p.bell:
		return o.fault
	case late && p.reached == nil && !isControl(p.text):
		o.missed = true
		return o.fault
	}
	if o.since.IsZero() {
		o.since = p.at
	}
	o.waiting = append(o.waiting, p)
	select {
	case o.wake <- struct{}{}:
	default:
	}
	return o.fault
}

// drained returns what is closed when all that was handed in is written.
func (o *outbox) drained() <-chan struct{} {
	reached := make(chan struct{})
	o.post(parcel{reached: reached})
	return reached
}

// run writes what is handed in until the process ends.
func (o *outbox) run() {
	for range o.wake {
		for p, ok := o.next(); ok; p, ok = o.next() {
			if p.reached != nil {
				close(p.reached)
				continue
			}
			if !p.latest.IsZero() && time.Now().After(p.latest) {
				continue
			}
			err := o.write(p)
			o.mu.Lock()
			o.fault = err
			o.mu.Unlock()
		}
	}
}

// next takes out what is to be written now. Where nothing is left it asks for
// the screen if some of it was left out.
func (o *outbox) next() (parcel, bool) {
	o.mu.Lock()
	if len(o.waiting) > 0 {
		defer o.mu.Unlock()
		p := o.waiting[0]
		o.waiting, o.since = o.waiting[1:], p.at
		return p, true
	}
	missed := o.missed
	o.waiting, o.since, o.missed = nil, time.Time{}, false
	o.mu.Unlock()
	if missed && o.repaint != nil {
		o.repaint()
	}
	return parcel{}, false
}
