package main

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"barline/brew/bar"
)

// mostWindow is the widest window that --windows takes, in seconds.
const mostWindow = 300

// mostWidths is the most of them.
const mostWidths = 50

// readWidths reads what --windows lists: 0..6, or 0,2,5.
func readWidths(text string) ([]int, error) {
	var out []int
	for _, part := range strings.Split(text, ",") {
		first, last, many := strings.Cut(part, "..")
		from, err := readWidth(text, first)
		to := from
		if many && err == nil {
			to, err = readWidth(text, last)
		}
		switch {
		case err != nil:
			return nil, err
		case to < from:
			return nil, faultyWidths(text, fmt.Sprintf("%d..%d runs backwards", from, to), fmt.Sprintf("write %d..%d", to, from))
		case len(out)+to-from >= mostWidths:
			return nil, faultyWidths(text, fmt.Sprintf("more than %d widths", mostWidths), "write fewer, such as 0,2,5,10")
		}
		for d := from; d <= to; d++ {
			out = append(out, d)
		}
	}
	slices.Sort(out)
	return slices.Compact(out), nil
}

// readWidth reads one of the figures of --windows.
func readWidth(text, figure string) (int, error) {
	width, err := strconv.Atoi(strings.TrimSpace(figure))
	if err != nil || width < 0 || width > mostWindow {
		return 0, faultyWidths(text, fmt.Sprintf("%q, wanted whole seconds from 0 to %d", figure, mostWindow), "write 0..6, or 0,2,5")
	}
	return width, nil
}

func faultyWidths(text, what, hint string) error {
	return &usageError{fmt.Sprintf("--windows %q: %s", text, what), hint}
}

// tolerance is what a round comes to with windows of one width; most is
// negative for the recipes' own windows.
type tolerance struct {
	most  int
	value bar.Value
	claim bar.Claim
	found bool
}

// tolerances works out and writes what wider windows would buy.
func (a *app) tolerances(r *barRound, widths string, limit time.Duration, asJSON bool) error {
	most, err := readWidths(widths)
	if err != nil {
		return err
	}
	rows, err := a.tolerated(r.problem, append(most, -1), limit)
	if err != nil {
		return &inputError{"the round cannot be planned: " + err.Error(), ""}
	}
	if asJSON {
		return printJSON(a.stdout, tolerancesJSON(rows))
	}
	printTolerances(a.stdout, a.across(), rows, limit)
	return nil
}

// tolerated plans the round within each width. What was found for one width is
// where the search for the next begins, so that a wider window never looks
// worse than a narrower one.
func (a *app) tolerated(p *bar.Problem, widths []int, limit time.Duration) ([]tolerance, error) {
	var out []tolerance
	var from *bar.Plan
	for _, most := range widths {
		q := p.Within(most)
		s, err := bar.NewSearch(q, from)
		if err != nil {
			return nil, err
		}
		a.advance(s, limit)
		row := tolerance{most: most, claim: s.Claim()}
		if pl, any := s.Best(); any {
			row.found, row.value, from = true, q.Value(pl), &pl
		}
		out = append(out, row)
	}
	return out, nil
}

// printTolerances writes the table and, for each width, what it buys.
func printTolerances(w io.Writer, width int, rows []tolerance, limit time.Duration) {
	paragraph(w, width, "with every step's window cut down to this many seconds to either side; what is prepared and cleaned keeps floating")
	fmt.Fprintln(w)
	columns := []column{{"window", false, false}, {"waiting", true, false}, {"last cup", true, false}, {"", false, false}}
	var cells [][]string
	for i, row := range rows {
		if !row.found {
			cells = append(cells, []string{windowOf(row.most), "-", "-", "no plan"})
			continue
		}
		note := claimed(row.claim, limit)
		if i > 0 && rows[0].found {
			note = bought(rows[0], row) + note
		}
		cells = append(cells, []string{windowOf(row.most), clockOf(row.value.Wait), clockOf(row.value.End), note})
	}
	writeTable(w, width, columns, cells)
}

func windowOf(most int) string {
	if most < 0 {
		return "as written"
	}
	return fmt.Sprintf("±%d s", most)
}

// bought says what a width buys over the first one.
func bought(first, row tolerance) string {
	wait, end := first.value.Wait-row.value.Wait, first.value.End-row.value.End
	var parts []string
	if wait > 0 {
		parts = append(parts, fmt.Sprintf("%d s less waiting", wait))
	}
	if end > 0 {
		parts = append(parts, fmt.Sprintf("the round ends %d s sooner", end))
	}
	if end < 0 {
		parts = append(parts, fmt.Sprintf("the round ends %d s later", -end))
	}
	if len(parts) == 0 {
		parts = []string{"no gain"}
	}
	return strings.Join(parts, ", ") + "; "
}

// The JSON of what windows buy, schema 1; window_s is null for the recipes'
// own, the figures are null where there is no plan.
type jsonTolerances struct {
	Schema  int             `json:"schema"`
	Windows []jsonTolerance `json:"windows"`
}

type jsonTolerance struct {
	WindowS    *int `json:"window_s"`
	TotalWaitS *int `json:"total_wait_s"`
	EndS       *int `json:"end_s"`
	BoundS     *int `json:"bound_s"`
	Proven     bool `json:"proven"`
}

func tolerancesJSON(rows []tolerance) jsonTolerances {
	out := jsonTolerances{Schema: 1}
	for _, t := range rows {
		out.Windows = append(out.Windows, jsonTolerance{
			some(t.most, t.most >= 0), some(t.value.Wait, t.found), some(t.value.End, t.found), some(t.claim.Bound, t.found), t.claim.Proven,
		})
	}
	return out
}
