package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"barline/recipes"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// inWords lets a command and those below it say in plain words what is wrong
// with their line: the libraries speak of arg(s) and strconv.
func inWords(cmd *cobra.Command) {
	cmd.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return flagFault(err) })
	if check := cmd.Args; check != nil {
		cmd.Args = func(cmd *cobra.Command, args []string) error { return argsFault(cmd, args, check) }
	}
	for _, below := range cmd.Commands() {
		inWords(below)
	}
}

// flagFault says what a flag was given and what it takes.
func flagFault(err error) error {
	var wrong *pflag.InvalidValueError
	if !errors.As(err, &wrong) {
		return err
	}
	flag := wrong.GetFlag()
	if told := (*recipes.Wrong)(nil); errors.As(wrong.Unwrap(), &told) {
		return misused("--"+flag.Name, wrong.GetValue(), told)
	}
	wanted, known := map[string]string{
		"int": "a whole number", "uint64": "a whole number from 0 on", "float64": "a number", "bool": "true or false",
		"duration": "a length of time such as 10s or 1m30s",
	}[flag.Value.Type()]
	if !known {
		return fmt.Errorf("--%s: %w", flag.Name, wrong.Unwrap())
	}
	return fmt.Errorf("--%s %q, wanted %s", flag.Name, wrong.GetValue(), wanted)
}

// argsFault says which word of a command's line is missing, or too much. What
// the command itself has to say of them stays.
func argsFault(cmd *cobra.Command, args []string, check cobra.PositionalArgs) error {
	err := check(cmd, args)
	if err == nil {
		return missingFlag(cmd)
	}
	if !strings.HasPrefix(err.Error(), "accepts ") && !strings.HasPrefix(err.Error(), "requires ") {
		return err
	}
	takes := strings.Fields(cmd.Use)[1:]
	if flags := slices.IndexFunc(takes, func(word string) bool { return strings.HasPrefix(strings.TrimLeft(word, "["), "-") }); flags >= 0 {
		takes = takes[:flags]
	}
	if len(args) < len(takes) {
		return fmt.Errorf("%s is missing: %s %s", takes[len(args)], cmd.CommandPath(), strings.Join(takes, " "))
	}
	return fmt.Errorf("%q is too much: %s takes %s", args[len(args)-1], cmd.CommandPath(), strings.Join(takes, " "))
}

// missingFlag names the first flag that a command cannot do without and was not
// given.
func missingFlag(cmd *cobra.Command) (err error) {
	cmd.Flags().VisitAll(func(flag *pflag.Flag) {
		if required := flag.Annotations[cobra.BashCompOneRequiredFlag]; len(required) > 0 && !flag.Changed && err == nil {
			err = fmt.Errorf("--%s is missing", flag.Name)
		}
	})
	return err
}

// flagsAlone refuses whatever is not a flag.
func flagsAlone(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return fmt.Errorf("%q is too much: %s takes nothing but flags", args[0], cmd.CommandPath())
	}
	return nil
}

// helpOf says where a command's line is explained.
func helpOf(cmd *cobra.Command) string {
	if !cmd.HasParent() {
		return cmd.CommandPath() + " --help lists the commands"
	}
	return cmd.CommandPath() + " --help says what it takes"
}
