package tui

import (
	"barline/tui/keys"
	"barline/tui/live"
	"barline/tui/pages"

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
	k := live.DefaultKeys()
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
		{"terminal", pages.NewTerminalKeys(k.Mark).Bindings()},
	} {
		for _, b := range page.keys {
			table = append(table, Key{page.name, named(b.Keys()), b.Help().Desc})
		}
	}
	return table
}

// named returns keys by the names that people know them by.
func named(of []string) []string {
	out := make([]string, len(of))
	for i, k := range of {
		out[i] = keys.Name(k)
	}
	return out
}
