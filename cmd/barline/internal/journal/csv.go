package journal

import (
	"context"
	"database/sql"
	"encoding/csv"
	"io"
	"strconv"
	"strings"
	"time"
)

// csvColumns are the columns of the CSV. Times are seconds on the brew's own
// clock, drifts are signed with late positive, weights are grams.
var csvColumns = []string{
	"brew", "start", "person", "kind", "recipe", "version", "speed", "from_s", "marks", "end", "end_s", "clock",
	"coffee", "lot", "setting", "kettle_c", "round", "take", "lane", "order",
	"beat", "key", "owner", "asked", "status", "written_s", "called_s", "marked_s", "drift_s", "carried_s", "slip_s",
	"early_s", "late_s", "weight_g",
}

// CSV writes the brews that pass the filter for spreadsheets: a row with the
// columns' names, then one row a beat, brews oldest first (RFC 4180). A field
// is empty where there is nothing to say. What somebody wrote never begins as a
// formula does: see Inert. The error is w's own where it cannot be written to.
func (j *Journal) CSV(ctx context.Context, w io.Writer, f Filter) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if err := out.Write(csvColumns); err != nil {
		return err
	}
	err := j.view(ctx, func(tx *sql.Tx) error {
		return j.eachRecord(tx, f, func(r Record) error {
			lane, err := r.Fold()
			if err != nil {
				return err
			}
			head := j.csvHead(r)
			for _, b := range beatsOf(lane) {
				if err := out.Write(append(head[:len(head):len(head)], b.csv()...)); err != nil {
					return err
				}
			}
			return nil
		})
	})
	out.Flush()
	if failed := out.Error(); failed != nil {
		return failed // w's own, and not the journal's
	}
	return err
}

func (j *Journal) csvHead(r Record) []string {
	end, kettle := "", ""
	if r.End != "" {
		end = csvSeconds(r.EndAt)
	}
	if r.Kettle != nil {
		kettle = strconv.FormatFloat(float64(*r.Kettle), 'f', -1, 64)
	}
	return []string{
		r.ID, stamp(r.Start), Inert(r.Person), string(r.Kind), Inert(r.Recipe), Inert(r.Version),
		strconv.FormatFloat(r.Speed, 'f', -1, 64), csvSeconds(r.From), string(r.Marks),
		string(j.endOf(r.Brew)), end, string(r.Clock.Kept),
		Inert(r.Coffee), Inert(r.Lot), Inert(r.Setting), kettle, r.Round, r.Take, strconv.Itoa(r.Lane), Inert(r.Order),
	}
}

func (b Beat) csv() []string {
	var marked, drift, slip, weight string
	if b.Marked != nil {
		marked, drift, slip = csvSeconds(*b.Marked), csvSeconds(*b.Marked-b.Written), csvSeconds(*b.Marked-b.Called)
	}
	if b.Weight != nil {
		weight = b.Weight.Decimal()
	}
	return []string{
		strconv.Itoa(b.Beat), Inert(b.Key), string(b.Owner), strconv.FormatBool(b.Asked), string(b.Status),
		csvSeconds(b.Written), csvSeconds(b.Called), marked, drift, csvSeconds(b.Called - b.Written), slip,
		csvSeconds(b.Window.Early), csvSeconds(b.Window.Late), weight,
	}
}

// Inert returns a text that no spreadsheet takes for a formula, which may reach
// for other cells, files and addresses: one that begins with =, +, -, @, a tab
// or the end of a line gets an apostrophe ahead of it, as OWASP advises ('CSV
// injection').
func Inert(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r\n", rune(text[0])) {
		return "'" + text
	}
	return text
}

// csvSeconds writes seconds to the millisecond, as short as they are.
func csvSeconds(d time.Duration) string {
	return strconv.FormatFloat(float64(d.Round(time.Millisecond).Milliseconds())/1000, 'f', -1, 64)
}
