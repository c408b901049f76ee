package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"barline/brew"
	"barline/tui"
	"barline/tui/draw"

	"github.com/spf13/cobra"
)

// app is one run of the command line: the environment, the flags that every
// command has, and the configuration. A flag goes over the configuration.
type app struct {
	env
	flags struct {
		config  string
		recipes string
		journal string
		theme   string
		bell    string
	}
	config config
}

// register adds the flags that every command has.
func (a *app) register(root *cobra.Command) {
	flags := root.PersistentFlags()
	flags.StringVar(&a.flags.config, "config", "", "file of the configuration")
	flags.StringVar(&a.flags.recipes, "recipes", "", "folder of your own recipes")
	flags.StringVar(&a.flags.journal, "journal", "", "file of the record")
	flags.StringVar(&a.flags.theme, "theme", "", "ground of the terminal: auto, dark or light (default auto)")
	flags.StringVar(&a.flags.bell, "bell", "", "on or off (default on)")
	root.RegisterFlagCompletionFunc("bell", cobra.FixedCompletions(onOff, cobra.ShellCompDirectiveNoFileComp))
	root.RegisterFlagCompletionFunc("theme", cobra.FixedCompletions(themes, cobra.ShellCompDirectiveNoFileComp))
	root.PersistentPreRunE = func(cmd *cobra.Command, _ []string) error { return a.prepare(cmd) }
}

// themes are the grounds that a theme can be for.
var themes = []string{"auto", "dark", "light"}

// onOff are what the bell can be.
var onOff = []string{"on", "off"}

// prepare reads the configuration, and refuses flags that mean nothing.
func (a *app) prepare(cmd *cobra.Command) error {
	if a.flags.theme != "" && !slices.Contains(themes, a.flags.theme) {
		return fmt.Errorf("--theme %q is none of auto, dark, light", a.flags.theme)
	}
	if a.flags.bell != "" && !slices.Contains(onOff, a.flags.bell) {
		return fmt.Errorf("--bell %q is none of on, off", a.flags.bell)
	}
	for _, path := range []*string{&a.flags.config, &a.flags.recipes, &a.flags.journal} {
		*path = a.fromHome(*path)
	}
	if cmd.Annotations[withoutConfig] != "" {
		return nil
	}
	return a.readConfig()
}

// withoutConfig marks commands that work whatever the configuration says.
const withoutConfig = "without configuration"

// bar returns what the checks and plans must know of the place.
func (a *app) bar() brew.Bar { return brew.Bar{Boils: a.config.boils, Window: a.config.window} }

// look returns the theme of the terminal.
func (a *app) look() draw.Theme {
	theme := firstOf(a.flags.theme, a.config.theme, "auto")
	return tui.Look(theme, a.getenv)
}

// rings reports whether the bell is wanted.
func (a *app) rings() bool { return firstOf(a.flags.bell, a.config.bell, "on") == "on" }

// firstOf returns the first text that says something.
func firstOf(texts ...string) string {
	for _, text := range texts {
		if text != "" {
			return text
		}
	}
	return ""
}

// readConfig reads the configuration, if there is one.
func (a *app) readConfig() error {
	path, err := a.configFile()
	if err != nil {
		return nil // no home to look in: everything stays as it is
	}
	text, err := readConfigFile(path)
	switch {
	case errors.Is(err, errNoConfig) && a.flags.config == "":
		return nil
	case err != nil:
		return &inputError{path + ": " + plainError(err), "barline config writes one to start from"}
	}
	faults := a.config.read(path, text)
	if len(faults) > 0 {
		fmt.Fprint(a.stderr, faults.Text())
		return errTold
	}
	a.config.recipes, a.config.journal = a.placed(a.config.recipes, filepath.Dir(path)), a.placed(a.config.journal, filepath.Dir(path))
	return nil
}
