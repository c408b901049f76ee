package probe

import "strings"

// Facts are what is known without asking the terminal.
type Facts struct {
	Barline string // its version
	Go      string // the version that built it
	System  string // operating system and processor

	Terminal    bool // there is one to draw on
	Term        string
	ColorTerm   string
	NoColor     bool
	UTF8        bool // the locale, or there is none
	SSH         bool
	Multiplexer bool // the terminal is one inside another

	Colours  string // that barline uses: 24 bits, 256, 16 or NoColours
	Ground   string // that the theme is for: dark or light
	ASCII    bool   // figures of ASCII characters
	Bell     bool
	MarkKeys []string // by the names that people know
}

// NoColours is what Colours says where none is used.
const NoColours = "none"

// From returns the facts with what the environment says.
func (f Facts) From(getenv func(string) string) Facts {
	f.Term, f.ColorTerm = printable(getenv("TERM")), printable(getenv("COLORTERM"))
	f.NoColor = getenv("NO_COLOR") != ""
	f.SSH = anySet(getenv, "SSH_CONNECTION", "SSH_CLIENT", "SSH_TTY")
	f.Multiplexer = anySet(getenv, "TMUX", "STY") || strings.HasPrefix(f.Term, "screen") || strings.HasPrefix(f.Term, "tmux")
	return f
}

func anySet(getenv func(string) string, names ...string) bool {
	for _, name := range names {
		if getenv(name) != "" {
			return true
		}
	}
	return false
}

// longestValue is how much of a value of the environment is repeated.
const longestValue = 40

// printable returns a value of the environment as it can stand in a line; what
// else might be in it is nobody's business.
func printable(value string) string {
	clean := strings.Map(func(r rune) rune {
		if r <= ' ' || r > '~' {
			return -1
		}
		return r
	}, value)
	return clean[:min(len(clean), longestValue)]
}

// lines are the facts by their names.
func (f Facts) lines() []Line {
	return []Line{
		{"barline", f.Barline}, {"go", f.Go}, {"system", f.System}, {"terminal", yes(f.Terminal)},
		{"TERM", orUnset(f.Term)}, {"COLORTERM", orUnset(f.ColorTerm)}, {"NO_COLOR", set(f.NoColor)},
		{"locale is UTF-8", yes(f.UTF8)}, {"over ssh", yes(f.SSH)}, {"inside a multiplexer", yes(f.Multiplexer)},
	}
}

func yes(is bool) string {
	if is {
		return "yes"
	}
	return "no"
}

func set(is bool) string {
	if is {
		return "set"
	}
	return "not set"
}

func orUnset(value string) string {
	if value == "" {
		return "not set"
	}
	return value
}
