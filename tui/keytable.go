package tui

import (
	"barline/tui/keys"
	"barline/tui/live"
	"barline/tui/pages"
	"barline/tui/rehearsal"
	"barline/tui/service"

	"github.com/charmbracelet/bubbles/key"
)

// Key is what one binding does on one page.
type Key struct {
	Page string   // shelf, sheet, prepare, brew, …
	Keys []string // every key that does it, by the names that the help uses
	Does string
}

// KeyTable returns the keys of every page, in the order of a brew and of the
// help. The pages are driven by the same bindings.
func KeyTable() []Key {
	k, s, r := live.DefaultKeys(), service.DefaultKeys(), rehearsal.DefaultKeys()
	var table []Key
	for _, page := range []struct {
		name string
		keys []key.Binding
	}{
		{"shelf", pages.DefaultListKeys().Bindings()},
		{"sheet", pages.DefaultSheetKeys().Bindings()},
		{"prepare", k.Preparing(false)},
		{"ready", k.Preparing(true)},
		{"count-in", k.Counting()},
		{"brew", k.Brewing()},
		{"stop the brew?", k.Stopping()},
		{"typing a line", k.Typing()},
		{"debrief", k.Reviewing()},
		{"readings taken", k.Closing()},
		{"record", pages.DefaultRecordKeys().Bindings()},
		{"cup", pages.DefaultCupKeys().Bindings()},
		{"drift", pages.DefaultDriftKeys().Table()},
		{"drift of a beat", pages.DefaultDriftKeys().Beat()},
		{"persons", pages.DefaultDriftKeys().Who()},
		{"cut off", pages.DefaultCutOffKeys().Bindings()},
		{"service", s.Serving()},
		{"service: which?", s.Choosing()},
		{"service: brewers", s.Counting()},
		{"service: is it meant?", s.Sure()},
		{"service: typing a line", s.Typing()},
		{"after the service", s.Over()},
		{"before a take", r.Ready()},
		{"rehearse", r.Running()},
		{"stop the take?", r.Stopping()},
		{"call time early?", r.Calling()},
		{"after a take", r.Over()},
		{"takes", pages.DefaultTakesKeys().All()},
		{"terminal", pages.NewTerminalKeys(k.Mark).Bindings()},
	} {
		for _, b := range page.keys {
			table = append(table, Key{page.name, named(b.Keys()), b.Help().Desc})
		}
	}
	return table
}

// named returns keys by the names that people know them by; from four letters
// or digits on that follow each other only the first and the last are named.
func named(of []string) []string {
	var out []string
	for i := 0; i < len(of); {
		n := 1
		for i+n < len(of) && len(of[i]) == 1 && of[i+n] == string(of[i][0]+byte(n)) {
			n++
		}
		if n < 4 {
			out, i = append(out, keys.Name(of[i])), i+1
			continue
		}
		out, i = append(out, of[i]+"-"+of[i+n-1]), i+n
	}
	return out
}
