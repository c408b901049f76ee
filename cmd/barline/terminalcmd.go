package main

import (
	"errors"
	"io"
	"os"
	"runtime"
	"runtime/debug"
	"strings"

	"barline/tui"
	"barline/tui/keys"
	"barline/tui/pages"
	"barline/tui/probe"

	"github.com/charmbracelet/x/term"
	"github.com/spf13/cobra"
)

// newTerminal returns the command that says what the terminal can do.
func newTerminal(a *app) *cobra.Command {
	plain := false
	cmd := &cobra.Command{
		Use:   "terminal",
		Short: "say what this terminal can do, and measure it",
		Long: "terminal shows what this terminal can do, measures it, and prints a report when you\nleave it. The report names no person, no machine and no folder: paste it into a\nquestion for help.\n\n" +
			"With --plain, or where there is no terminal, it prints what can be known without\none, and reads nothing.",
		Args: flagsAlone,
		RunE: func(*cobra.Command, []string) error { return a.lookAtTerminal(plain) },
	}
	cmd.Flags().BoolVar(&plain, "plain", false, "print the report at once, without a screen")
	return cmd
}

// lookAtTerminal shows the page, and prints the report behind it.
func (a *app) lookAtTerminal(plain bool) error {
	disk := a.diskMeter()
	facts := a.terminalFacts()
	var terminal *tui.Terminal
	if !plain && a.screenless() == "" {
		terminal, _ = tui.OpenTerminal(os.Stdin, os.Stdout) // nil where there are no keys to be read
	}
	if terminal == nil {
		width, height := a.size()
		report := probe.Report{Facts: facts, Width: width, Height: height, NotAsked: probe.NoScreen}
		writes := disk.measure()
		report.Writes = &writes
		return a.print(report.Text())
	}
	report, err := tui.LookAt(terminal, tui.LookOptions{
		Facts: facts, Theme: a.look(), Keys: pages.NewTerminalKeys(a.config.markKeys().Mark), Journal: disk.measure, Now: a.now,
	}, func(code int) {
		disk.stop()
		os.Exit(code)
	})
	disk.stop()
	var ended *tui.Ended
	switch {
	case errors.Is(err, tui.ErrPanic):
		return err
	case err != nil && !errors.As(err, &ended):
		return &inputError{"the terminal: " + err.Error(), "barline terminal --plain needs no screen"}
	}
	return errors.Join(err, a.print(report.Text()))
}

// print writes a text to the output that may be a terminal.
func (a *app) print(text string) error {
	if _, err := io.WriteString(a.stdout, text); err != nil {
		return notWritten(err)
	}
	return nil
}

// terminalFacts returns what is known without asking the terminal.
func (a *app) terminalFacts() probe.Facts {
	f := tui.TerminalFacts(firstOf(a.flags.theme, a.config.theme, "auto"), a.getenv)
	f.Barline, f.Go, f.System = version(), runtime.Version(), runtime.GOOS+"/"+runtime.GOARCH
	f.Terminal = a.screen() != nil
	f.Bell = a.rings()
	for _, k := range a.config.markKeys().Mark.Keys() {
		f.MarkKeys = append(f.MarkKeys, keys.Name(k))
	}
	return f
}

// screen returns the standard output where it is a terminal, else nil.
func (a *app) screen() *os.File {
	if out, ok := a.stdout.(*os.File); ok && term.IsTerminal(out.Fd()) {
		return out
	}
	return nil
}

// size returns the terminal's size in cells, 0 by 0 where there is none or it
// does not tell.
func (a *app) size() (width, height int) {
	if out := a.screen(); out != nil {
		width, height, _ = term.GetSize(out.Fd())
	}
	return width, height
}

// version returns which barline this is: the module's version, and the commit
// that it was built from, where the build knows them.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	words := []string{firstOf(info.Main.Version, "unknown")}
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision" && !strings.Contains(words[0], s.Value[:min(len(s.Value), 12)]):
			words = append(words, s.Value[:min(len(s.Value), 12)])
		case s.Key == "vcs.modified" && s.Value == "true" && !strings.HasSuffix(words[0], "+dirty"):
			words = append(words, "changed since")
		}
	}
	return strings.Join(words, " ")
}
