package journal

import (
	"context"
	"database/sql"
	"fmt"
	"time"

	"barline/brew"
)

// TakeUpWithin is how long after its planned end a brew that was cut off can
// still be taken up.
const TakeUpWithin = 2 * time.Minute

// Now is what the machine's clocks read when a brew is to be taken up.
type Now struct {
	Wall    time.Time
	Elapsed time.Duration // of the clock that Clock.Zero was read from
	Boot    string        // "" where it is not known
}

// Interrupted is a brew that nobody ended and nobody holds.
type Interrupted struct {
	Brew
	At   time.Duration // the timeline's clock now
	By   Kept          // Boottime within the same boot, Wall otherwise
	Last time.Duration // of its last event, on the timeline's clock
	Err  error         // why it cannot be taken up; nil where it can
}

// Interrupted returns the brews that were cut off, newest first, at most limit
// of them, each with whether it can be taken up.
func (j *Journal) Interrupted(ctx context.Context, now Now, limit int) ([]Interrupted, error) {
	page, err := j.List(ctx, Filter{End: CutOff}, Cursor{}, limit)
	if err != nil {
		return nil, err
	}
	out := make([]Interrupted, len(page.Brews))
	for i, b := range page.Brews {
		r, err := j.Load(ctx, b.ID)
		if err != nil {
			out[i] = Interrupted{Brew: b, Err: err}
			continue
		}
		out[i] = r.interrupted(now)
		out[i].Short = b.Short
	}
	return out, nil
}

// interrupted works out where the brew's clock stands now.
func (r Record) interrupted(now Now) Interrupted {
	in := Interrupted{Brew: r.Brew}
	for _, e := range r.Events {
		in.Last = max(in.Last, e.At)
	}
	in.At, in.By = r.clockAt(now)
	lane, err := r.Fold()
	switch {
	case err != nil:
		in.Err = err
	case r.End == Finished || r.End == Stopped:
		in.Err = ErrEnded
	case !lane.Started():
		in.Err = fmt.Errorf("%w: it had not started", ErrTooLate)
	case in.At < in.Last:
		in.Err = fmt.Errorf("%w: the clock on the wall was set back", ErrTooLate)
	case lane.Elapsed(in.At) > r.Plan.End+TakeUpWithin:
		in.Err = fmt.Errorf("%w: it should have ended more than %s ago", ErrTooLate, brew.Spoken(TakeUpWithin))
	}
	return in
}

// clockAt returns the timeline's clock at a moment, by the machine's elapsed
// clock within the same boot, which is exact, and by the clock on the wall
// otherwise.
func (r Record) clockAt(now Now) (time.Duration, Kept) {
	if r.Clock.Boot != "" && r.Clock.Boot == now.Boot {
		return scaled(now.Elapsed-r.Clock.Zero, r.Speed), Boottime
	}
	return r.StartAt + scaled(now.Wall.Sub(r.Start), r.Speed), Wall
}

func scaled(d time.Duration, by float64) time.Duration {
	if by == 1 {
		return d
	}
	return time.Duration(float64(d) * by)
}

// TakeUp goes on with a brew that was cut off: it takes the brew's lock and
// returns a recorder whose next event has the number len(Record().Events). A
// note in the record says that it was taken up, after how long, and by which
// clock. The error is ErrNotFound, ErrLive, ErrEnded, ErrTooLate or a *Fault;
// what cannot be saved after that is told by the recorder, as ever.
func (j *Journal) TakeUp(ctx context.Context, id string, now Now) (*Recorder, Interrupted, error) {
	held, err := j.lock(id)
	if err != nil {
		return nil, Interrupted{}, err
	}
	r, err := j.Load(ctx, id)
	if err != nil {
		held.release()
		return nil, Interrupted{}, err
	}
	in := r.interrupted(now)
	if in.Err != nil {
		held.release()
		return nil, in, in.Err
	}
	r.End, r.Clock = "", r.clockFrom(in, now)
	rec := newRecorder(r, held, &writer{path: j.path, options: j.options, connect: j.itself}, func() {})
	clock := r.Clock
	rec.w.submit(&write{do: func(tx *sql.Tx) error {
		n, err := ofBrew.number(tx, id)
		if rec.n = n; err != nil {
			return err
		}
		return putClock(tx, n, clock)
	}})
	rec.mu.Lock()
	defer rec.mu.Unlock()
	rec.admit(in.note(r.Lane))
	return rec, in, nil
}

// clockFrom returns how the clock is kept once the brew is taken up. By the
// clock on the wall, the machine's elapsed clock gets a new zero, so that a
// brew that is cut off once more goes on from here.
func (r Record) clockFrom(in Interrupted, now Now) Clock {
	if in.By == Boottime {
		return r.Clock
	}
	return Clock{Kept: Wall, Boot: now.Boot, Zero: now.Elapsed - scaled(in.At, 1/r.Speed)}
}

func (in Interrupted) note(lane int) brew.Event {
	by := map[Kept]string{Boottime: "the machine's own clock", Wall: "the clock on the wall"}[in.By]
	text := fmt.Sprintf("taken up again %s after the last event, by %s", brew.Spoken((in.At - in.Last).Round(100*time.Millisecond)), by)
	return brew.Event{Kind: brew.EventNote, Lane: lane, At: in.At, Source: brew.FromClock, Text: text}
}
