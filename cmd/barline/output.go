package main

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"runtime"
	"strings"
	"sync"

	"barline/tui/draw"

	"github.com/spf13/cobra"
)

// say writes a line. Whatever a record holds, what is said of it is one line
// that does not steer the terminal.
func say(w io.Writer, format string, args ...any) {
	fmt.Fprintln(w, draw.OneLine(fmt.Sprintf(format, args...)))
}

// cells joins what stands in the columns of a row, for a tabwriter.
func cells(texts ...string) string {
	for i, text := range texts {
		texts[i] = draw.OneLine(text)
	}
	return strings.Join(texts, "\t") + "\n"
}

// watched remembers the first error of a writer, so that whoever writes need
// not look after every line.
type watched struct {
	to  io.Writer
	mu  sync.Mutex
	err error
}

// Write writes, and fails again where it has failed before.
func (w *watched) Write(text []byte) (n int, err error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.err != nil {
		return 0, w.err
	}
	n, w.err = w.to.Write(text)
	return n, w.err
}

// checkOutput makes a command, and those below it, fail where what it says
// cannot be written. It is not for commands that draw on a screen.
func (a *app) checkOutput(cmd *cobra.Command) *cobra.Command {
	for _, below := range cmd.Commands() {
		a.checkOutput(below)
	}
	if do := cmd.RunE; do != nil {
		cmd.RunE = func(cmd *cobra.Command, args []string) error {
			out := &watched{to: a.stdout}
			a.stdout = out
			defer func() { a.stdout = out.to }()
			return out.judge(do(cmd, args))
		}
	}
	return cmd
}

// judge returns the error of a command. Where its output has failed, that is
// the reason for all else that was wrong with the input.
func (w *watched) judge(err error) error {
	var input *inputError
	if w.err == nil || err != nil && !errors.As(err, &input) && !errors.Is(err, errTold) && !errors.Is(err, w.err) {
		return err
	}
	return notWritten(w.err)
}

// notWritten says that what was asked for cannot be written.
func notWritten(err error) error {
	return &inputError{"the output cannot be written: " + plainError(err), "write it to another place"}
}

// typed returns a command line of barline as it is typed into a shell, with
// the flags that name the files of this run.
func (a *app) typed(args ...string) string {
	var flags []string
	if a.flags.config != "" {
		flags = append(flags, "--config", a.flags.config)
	}
	if a.flags.journal != "" {
		flags = append(flags, "--journal", a.flags.journal)
	}
	return inShell(append(flags, args...)...)
}

// inShell returns a command line of barline, with quotes where the shell needs
// them.
func inShell(args ...string) string {
	words := []string{"barline"}
	for _, arg := range args {
		words = append(words, quoted(arg, runtime.GOOS))
	}
	return strings.Join(words, " ")
}

// bare matches a word that no shell takes for more than a word.
var bare = regexp.MustCompile(`^[A-Za-z0-9_@%+:,./-]+$`)

// quoted returns a word as a shell of a platform reads it: by the rules of
// POSIX, section 2.2.2; a path on Windows holds no quotation mark.
func quoted(word, goos string) string {
	switch {
	case bare.MatchString(word):
		return word
	case goos == "windows":
		return `"` + word + `"`
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}
