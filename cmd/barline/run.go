package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"barline/cmd/barline/internal/clock"
	"barline/tui"

	"github.com/spf13/cobra"
)

// env is everything that a command takes from the machine.
type env struct {
	args   []string // without the program's name
	stdin  io.Reader
	stdout io.Writer
	stderr io.Writer
	getenv func(string) string
	clock  clock.Clock
}

// now returns the elapsed time that never jumps.
func (e env) now() time.Duration { return e.clock.Now().Elapsed }

// machine returns the environment of the process.
func machine() env {
	return env{
		args: os.Args[1:], stdin: os.Stdin, stdout: os.Stdout, stderr: os.Stderr,
		getenv: os.Getenv, clock: clock.Machine{},
	}
}

// The exit codes of every command. A signal ends with 128 and its number.
const (
	exitOK      = 0
	exitInput   = 1 // the input is at fault
	exitUsage   = 2 // the command line is
	exitStopped = 3 // the user stopped it
	exitUnsaved = 4 // the record could not be saved where it belongs

	exitSignal = 128            // and the signal's number
	exitBroken = exitSignal + 6 // barline itself broke, as by SIGABRT
)

// inputError is an input that is at fault, with one thing to do about it.
type inputError struct {
	message string
	hint    string
}

func (e *inputError) Error() string { return e.message }

// unsavedError is why something could not be saved where it belongs, with one
// thing to do about it.
type unsavedError struct {
	message string
	hint    string
}

func (e *unsavedError) Error() string { return e.message }

var (
	// errTold is an input that is at fault and of which all has been said.
	errTold = errors.New("told already")
	// errUnsaved is a record that could not be saved where it belongs.
	errUnsaved = errors.New("not saved")
	// errStopped is a brew that the user stopped.
	errStopped = errors.New("stopped")
)

// run runs the command line and returns the exit code.
func run(ctx context.Context, e env) int {
	e.stderr = messages{e.stderr}
	root := newRoot(e)
	root.SetArgs(e.args)
	root.SetIn(e.stdin)
	root.SetOut(e.stdout)
	root.SetErr(e.stderr)
	at, err := root.ExecuteContextC(ctx)
	return exitCode(at, err, e.stderr)
}

// exitCode tells the error of a command and returns its code. What is none of
// ours comes from the reading of the command line.
func exitCode(at *cobra.Command, err error, stderr io.Writer) int {
	var input *inputError
	var unsaved *unsavedError
	var usage *usageError
	var ended *tui.Ended
	switch {
	case err == nil:
		return exitOK
	case errors.As(err, &ended):
		return exitSignal + int(ended.Signal)
	case errors.Is(err, tui.ErrPanic):
		tell(stderr, err.Error(), "barline journal lists what was brewed; please report the lines above")
		return exitBroken
	case errors.Is(err, errUnsaved):
		return exitUnsaved
	case errors.Is(err, errStopped):
		return exitStopped
	case errors.Is(err, errTold):
		return exitInput
	case errors.As(err, &usage):
		tell(stderr, usage.message, usage.hint)
		return exitUsage
	case errors.As(err, &unsaved):
		tell(stderr, unsaved.message, unsaved.hint)
		return exitUnsaved
	case errors.As(err, &input):
		tell(stderr, input.message, input.hint)
		return exitInput
	}
	tell(stderr, err.Error(), helpOf(at))
	return exitUsage
}

func tell(w io.Writer, message, hint string) {
	fmt.Fprintf(w, "error: %s\n", message)
	if hint != "" {
		fmt.Fprintf(w, "hint: %s\n", hint)
	}
}

// newRoot returns the command line.
func newRoot(e env) *cobra.Command {
	a := &app{env: e}
	root := &cobra.Command{
		Use:           "barline",
		Short:         "a clock that knows the recipe",
		Long:          "barline turns a coffee recipe into cues, calls them while you brew, and says where\nthe time went. Without a command it opens the shelf of recipes.",
		Args:          cobra.NoArgs,
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE:          func(*cobra.Command, []string) error { return a.openShelf() },
	}
	a.register(root)
	root.AddCommand(a.checkOutput(newPlan(a)), a.checkOutput(newCheck(a)), newBrew(a), a.checkOutput(newRecipes(a)), a.checkOutput(newJournal(a)), a.withPage(newDrift(a), "on a page in the terminal, which its keys narrow; without a recipe on the shelf", a.driftPage), a.checkOutput(newFit(a)), a.checkOutput(newReport(a)), a.checkOutput(newConfig(a)), newTerminal(a), a.checkOutput(newDemo(a)), newCup(a), newBar(a), newCupping(a), newRehearse(a))
	root.AddCommand(a.withPage(newTakes(a), "on a page in the terminal", a.takesPage), a.checkOutput(newCard(a)))
	inWords(root)
	return root
}
