package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"

	"barline/brew"
)

// PlanSchema is the number of the form in which plans are written. It changes
// when the fields of brew.Plan do, and plans of an older number are then read
// by what was right for them: a plan as brewed is never planned anew.
const PlanSchema = 1

// writePlan writes a plan as it is stored: compact JSON with the fields of
// brew.Plan, moments in nanoseconds, masses in milligrams.
func writePlan(p *brew.Plan) (string, error) { return compact(p) }

// compact writes JSON in one line, nothing escaped that need not be.
func compact(v any) (string, error) {
	var out bytes.Buffer
	to := json.NewEncoder(&out)
	to.SetEscapeHTML(false)
	if err := to.Encode(v); err != nil {
		return "", err
	}
	return string(bytes.TrimSuffix(out.Bytes(), []byte("\n"))), nil
}

// readPlan reads what writePlan wrote under the given schema, and makes sure
// that it can be followed without going astray.
func readPlan(schema int, text string) (*brew.Plan, error) {
	if schema != PlanSchema {
		return nil, fmt.Errorf("plan of schema %d, want %d", schema, PlanSchema)
	}
	var p brew.Plan
	if err := strictly([]byte(text), &p); err != nil {
		return nil, fmt.Errorf("plan: %w", err)
	}
	if err := checkPlan(&p); err != nil {
		return nil, fmt.Errorf("plan: %w", err)
	}
	return &p, nil
}

// strictly reads one JSON value that has no other fields than v's and nothing
// behind it.
func strictly(text []byte, v any) error {
	from := json.NewDecoder(bytes.NewReader(text))
	from.DisallowUnknownFields()
	if err := from.Decode(v); err != nil {
		return err
	}
	if _, err := from.Token(); err != io.EOF {
		return fmt.Errorf("something stands behind it")
	}
	return nil
}

// checkPlan returns what would lead a fold astray: an index that points
// nowhere, a cue or a beat out of order.
func checkPlan(p *brew.Plan) error {
	if len(p.Cues) == 0 {
		return fmt.Errorf("no cues")
	}
	for i, c := range p.Cues {
		switch {
		case c.Start < 0 || c.End < c.Start || c.End > p.End:
			return fmt.Errorf("cue %d from %d ns to %d ns, plan ends at %d ns", i, c.Start, c.End, p.End)
		case c.Before < -1 || c.Before >= i:
			return fmt.Errorf("cue %d hangs behind cue %d", i, c.Before)
		case !has(p, c.StartBeat, brew.Point{Cue: i, Edge: brew.StartEdge}), !has(p, c.EndBeat, brew.Point{Cue: i, Edge: brew.EndEdge}):
			return fmt.Errorf("cue %d has beats %d and %d, which are not its own", i, c.StartBeat, c.EndBeat)
		}
	}
	for n, b := range p.Beats {
		for _, at := range []*brew.Point{&b.Point, b.Also} {
			if at != nil && (at.Cue < 0 || at.Cue >= len(p.Cues) || at.Edge != brew.StartEdge && at.Edge != brew.EndEdge) {
				return fmt.Errorf("beat %d is the %q of cue %d", n, at.Edge, at.Cue)
			}
		}
	}
	return nil
}

func has(p *brew.Plan, n int, at brew.Point) bool {
	return n >= 0 && n < len(p.Beats) && p.Beats[n].Has(at.Cue, at.Edge)
}

// hashOf names a plan or a text by its content.
func hashOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}
