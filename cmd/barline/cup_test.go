package main

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"barline/cmd/barline/internal/clock"
)

// What was left out or cannot be read is the command line's fault, what cannot
// be true the input's.
func TestTheExitCodesOfCup(t *testing.T) {
	for args, want := range map[string]int{
		"extraction --dose 15 --water 250 --beverage 220 --strength 1.35":   exitOK,
		"extraction --dose 15 --water 250 --beverage 220 --strength 0.0135": exitInput,
		"extraction --dose 15 --water 250 --beverage 290 --strength 1.35":   exitInput,
		"extraction --dose 15": exitUsage,
		"extraction --dose 15 --water 250 --beverage 220 --strength 1.35 --last-drops 0.6": exitUsage,
		"extraction --dose x":                            exitUsage,
		"extraction --balance press":                     exitUsage,
		"dilute --beverage 246 --strength 1.2 --to 1.25": exitInput,
		"dilute --beverage 246":                          exitUsage,
		"water --altitude 99999":                         exitInput,
		"water --altitude 1 --pressure 1":                exitUsage,
		"density --at 193":                               exitInput,
		"rest --to 93 --altitude 2500":                   exitInput,
		"rest --to 93 --readings 97":                     exitUsage,
		"slurry --water 250 --at 103 --dose 15":          exitInput,
		"expect nosuch":                                  exitInput,
		"expect":                                         exitUsage,
		"":                                               exitInput, // there is no terminal
	} {
		var stderr bytes.Buffer
		home := t.TempDir()
		e := env{
			args: append([]string{"cup"}, strings.Fields(args)...), stdin: strings.NewReader(""), stdout: &bytes.Buffer{}, stderr: &stderr,
			getenv: func(name string) string { return map[string]string{"HOME": home, "TERM": "xterm"}[name] },
			clock:  clock.NewFake(eight, clock.Boottime, "one"),
		}
		if code := run(context.Background(), e); code != want {
			t.Errorf("cup %s ends with %d, wanted %d: %s", args, code, want, stderr.String())
		}
	}
}
