package tui

import (
	"strings"

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
		{"cut off", pages.DefaultCutOffKeys().Bindings()},
	} {
		for _, b := range page.keys {
			table = append(table, Key{page.name, named(b.Keys()), b.Help().Desc})
		}
	}
	return table
}

// named returns keys by the names that people know them by.
func named(keys []string) []string {
	names := strings.NewReplacer("pgup", "page-up", "pgdown", "page-down", "ctrl+c", "ctrl-c")
	out := make([]string, len(keys))
	for i, k := range keys {
		if out[i] = names.Replace(k); k == " " {
			out[i] = "space"
		}
	}
	return out
}
