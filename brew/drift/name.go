package drift

import "strings"

// Same reports whether two names are of the same person, or of the same recipe:
// whatever the case of their letters, of any script (Unicode's simple case
// folding), and whatever space is around them. 'ADA' is Ada, 'émile ' is Émile.
// It is the one rule for names, so whatever tells persons or recipes apart
// asks it.
func Same(a, b string) bool { return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) }
