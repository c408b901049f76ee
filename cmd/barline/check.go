package main

import (
	"encoding/json"
	"io"

	"barline/brew"
	"barline/recipes"

	"github.com/spf13/cobra"
)

// checked is the JSON of check, schema 1.
type checked struct {
	Schema int           `json:"schema"`
	Files  []checkedFile `json:"files"`
}

type checkedFile struct {
	File   string         `json:"file"`
	Faults []checkedFault `json:"faults"`
}

type checkedFault struct {
	Severity string `json:"severity"` // error or warning
	Line     int    `json:"line"`     // from 1
	Column   int    `json:"column"`   // in characters, from 1
	Message  string `json:"message"`
	Hint     string `json:"hint"` // "" for none
}

// newCheck returns the command that says what is wrong with recipe files.
func newCheck(a *app) *cobra.Command {
	asJSON := false
	cmd := &cobra.Command{
		Use:               "check FILE|NAME...",
		Short:             "say what is wrong with recipes and routines, or unwise",
		Args:              cobra.MinimumNArgs(1),
		ValidArgsFunction: completeEach(a.completeAll()),
		RunE: func(cmd *cobra.Command, files []string) error {
			report, refused := checked{Schema: 1}, false
			for _, path := range files {
				faults, err := a.faultsOf(path)
				if err != nil { // the other files are checked all the same
					refused = true
					report.Files = append(report.Files, unread(path, err))
					exitCode(cmd, err, a.stderr)
					continue
				}
				refused = refused || len(faults.Errors()) > 0
				report.Files = append(report.Files, fileFaults(path, faults))
				if !asJSON {
					io.WriteString(a.stdout, faults.Text())
				}
			}
			if asJSON {
				if err := printJSON(a.stdout, report); err != nil {
					return err
				}
			}
			if refused {
				return errTold
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "as JSON")
	return cmd
}

// completeEach completes every argument as the first.
func completeEach(first cobra.CompletionFunc) cobra.CompletionFunc {
	return func(cmd *cobra.Command, _ []string, text string) ([]cobra.Completion, cobra.ShellCompDirective) {
		return first(cmd, nil, text)
	}
}

// unread is what is said of a file that cannot be read.
func unread(path string, err error) checkedFile {
	return checkedFile{path, []checkedFault{{string(brew.Error), 1, 1, err.Error(), ""}}}
}

func fileFaults(path string, faults recipes.Faults) checkedFile {
	out := checkedFile{File: path, Faults: []checkedFault{}}
	for _, f := range faults {
		out.Faults = append(out.Faults, checkedFault{string(f.Severity), f.Line, f.Column, f.Message, f.Hint})
	}
	return out
}

func printJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}
