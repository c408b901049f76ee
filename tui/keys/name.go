package keys

import "strings"

var known = strings.NewReplacer("pgup", "page-up", "pgdown", "page-down", "ctrl+c", "ctrl-c")

// Name returns a key by the name that people know it by, from the one that
// the terminal library gives it.
func Name(key string) string {
	if key == " " {
		return "space"
	}
	return known.Replace(key)
}
