package journal

import (
	"crypto/rand"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"github.com/google/uuid"
)

// NewID returns a UUIDv7 (RFC 9562, section 5.7) for the given time of day.
// Its 74 random bits come from random, which is crypto/rand.Reader but where
// the same ids are wanted again; the error is random's.
func NewID(at time.Time, random io.Reader) (string, error) {
	var id uuid.UUID
	if _, err := io.ReadFull(random, id[6:]); err != nil {
		return "", fmt.Errorf("drawing an id: %w", err)
	}
	ms := at.UnixMilli()
	for i := range 6 {
		id[i] = byte(ms >> (8 * (5 - i)))
	}
	id[6] = id[6]&0x0f | 0x70
	id[8] = id[8]&0x3f | 0x80
	return id.String(), nil
}

// DrawID returns a new id for a moment, with the machine's own random bits.
func DrawID(at time.Time) (string, error) { return NewID(at, rand.Reader) }

// drawn returns the id, or a new one where it is empty.
func drawn(id string, at time.Time) (string, error) {
	if id != "" {
		return id, nil
	}
	return NewID(at, rand.Reader)
}

// checkID returns what is wrong with an id: it must be a UUIDv7 in lower case.
func checkID(id string) error {
	u, err := uuid.Parse(id)
	if err != nil || u.String() != id || u.Version() != 7 || u.Variant() != uuid.RFC4122 {
		return fmt.Errorf("id %q, want a UUIDv7 in lower case", id)
	}
	return nil
}

func checkStamped(id string, at time.Time, replaces string) error {
	if err := checkID(id); err != nil {
		return err
	}
	if replaces != "" {
		if err := checkID(replaces); err != nil {
			return fmt.Errorf("replaces: %w", err)
		}
	}
	return checkTime(at)
}

// checkTime returns what is wrong with a time of day: the text that is stored
// must give it back, so its year has four figures and its offset whole
// minutes.
func checkTime(t time.Time) error {
	if back, err := time.Parse(time.RFC3339Nano, stamp(t)); err != nil || !back.Equal(t) {
		return fmt.Errorf("time %s, want one that RFC 3339 can write", t)
	}
	if y := t.UTC().Year(); y < 1700 || y > 2200 {
		return fmt.Errorf("time %s, want one between 1700 and 2200", stamp(t))
	}
	return nil
}

// stamp writes a time of day as it is stored: RFC 3339 with its own offset.
func stamp(t time.Time) string { return t.Format(time.RFC3339Nano) }

// parseStamp reads what stamp writes, and nothing else.
func parseStamp(text string) (time.Time, error) {
	t, err := time.Parse(time.RFC3339Nano, text)
	if err != nil {
		return time.Time{}, fmt.Errorf("time %q, want RFC 3339", text)
	}
	if stamp(t) != text {
		return time.Time{}, fmt.Errorf("time %q, want it written %q", text, stamp(t))
	}
	return fixed(t), checkTime(t)
}

// fixed keeps of a time's place nothing but its offset from UTC, which is all
// that is stored.
func fixed(t time.Time) time.Time {
	_, offset := t.Zone()
	if offset == 0 {
		return t.UTC()
	}
	return t.Round(0).In(time.FixedZone("", offset))
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// quoted lists values for a message: "a", "b" or "c".
func quoted[T ~string](all []T) string {
	words := make([]string, len(all))
	for i, v := range all {
		words[i] = fmt.Sprintf("%q", string(v))
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}
