package journal

import (
	"context"
	"database/sql"
	"encoding/json"
	"slices"
)

// WithReading returns those of the brews of which something was read, in their
// order: few are, so that the others need not be loaded to see it. What was
// taken back since counts as read.
func (j *Journal) WithReading(ctx context.Context, what What, ids []string) ([]string, error) {
	list, err := json.Marshal(ids)
	if err != nil {
		return nil, err
	}
	read := map[string]bool{}
	err = j.view(ctx, func(tx *sql.Tx) error {
		found, err := gather(tx, scanText, `SELECT b.id FROM json_each(?) i CROSS JOIN brews b ON b.id = i.value
			WHERE EXISTS (SELECT 1 FROM readings r WHERE r.brew = b.n AND r.what = ?)`, string(list), what)
		for _, id := range found {
			read[id] = true
		}
		return err
	})
	return slices.DeleteFunc(slices.Clone(ids), func(id string) bool { return !read[id] }), err
}
