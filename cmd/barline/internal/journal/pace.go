package journal

import (
	"database/sql"
	"errors"
	"fmt"

	"barline/brew"
)

// The version of a recipe is a hash of what is done and when. It cannot be
// worked out anew from a stored plan, which has the words of a step only as
// they are called, may be for another dose and may ask for other marks. But
// what a version says of the times is the same in all its plans, so that one
// whose times were altered contradicts the others.

// paces are the plans of which others of the same version must not differ, by
// version.
type paces map[string]*brew.Plan

// differs returns in what a plan contradicts the first one of its version.
func (all paces) differs(p *brew.Plan) error {
	was, there := all[p.Version]
	if !there {
		all[p.Version] = p
		return nil
	}
	if len(was.Cues) != len(p.Cues) || len(was.Beats) != len(p.Beats) || was.Method != p.Method {
		return fmt.Errorf("two plans of version %s have another method or other cues", p.Version)
	}
	for i, a := range was.Cues {
		b := p.Cues[i]
		if a.Action != b.Action || a.Before != b.Before || a.Hands != b.Hands {
			return fmt.Errorf("in two plans of version %s cue %d is another: %s and %s", p.Version, i, a.Name, b.Name)
		}
		if a.Start != b.Start || a.End != b.End {
			return fmt.Errorf("in two plans of version %s cue %d, %s, is at %s to %s and at %s to %s", p.Version, i, a.Name,
				brew.Exact(a.Start), brew.Exact(a.End), brew.Exact(b.Start), brew.Exact(b.End))
		}
	}
	for i, a := range was.Beats {
		if b := p.Beats[i]; a.Window != b.Window || a.Due != b.Due {
			return fmt.Errorf("in two plans of version %s beat %d, %s, is due otherwise", p.Version, i, a.Key)
		}
	}
	return nil
}

// learn takes one of the plans of a version that the journal holds. One that
// cannot be read says nothing here; Verify tells of it.
func (all paces) learn(tx *sql.Tx, version string) error {
	var n int64
	err := tx.QueryRow("SELECT plan FROM brews WHERE version = ? LIMIT 1", version).Scan(&n)
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	if err != nil {
		return err
	}
	if p, err := newReader(tx).plan(n); err == nil && p.Version == version {
		all[version] = p
	}
	return nil
}
