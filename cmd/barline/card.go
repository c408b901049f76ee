package main

import (
	"fmt"
	"io"
	"strings"

	"barline/brew"
	"barline/brew/routine"
	"barline/cmd/barline/internal/page"
	"barline/tui/draw"

	"github.com/spf13/cobra"
)

// newCard returns the command that writes a routine's run sheet.
func newCard(a *app) *cobra.Command {
	var markdown, html, force bool
	path := ""
	cmd := &cobra.Command{
		Use:   "card ROUTINE",
		Short: "write a routine's run sheet: clock times, sections, lines, cues, weights",
		Long: "card writes what happens when, for whoever coaches: as plain text, as Markdown, or as a\n" +
			"page of HTML that needs nothing beside it and prints on one sheet, A4 or US Letter.",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeRoutines(),
		RunE: func(_ *cobra.Command, args []string) error {
			switch {
			case markdown && html:
				return fmt.Errorf("--markdown and --html: one of them")
			case html && path == "":
				return fmt.Errorf("--html needs -o FILE.html, or -o - for standard output")
			case !html && path != "" && path != "-":
				return fmt.Errorf("-o goes with --html: text and Markdown go to standard output")
			}
			document, err := a.findRoutine(args[0])
			if err != nil {
				return err
			}
			plan, err := a.performed(document, false)
			if err != nil {
				return err
			}
			switch {
			case html:
				return a.cardPage(plan, target{path, force})
			case markdown:
				return cardMarkdown(a.stdout, plan)
			}
			return cardText(a.stdout, plan)
		},
	}
	flags := cmd.Flags()
	flags.BoolVar(&markdown, "markdown", false, "as Markdown")
	flags.BoolVar(&html, "html", false, "as a page of HTML, into the file of -o")
	flags.StringVarP(&path, "output", "o", "", "file of the page; - for standard output")
	flags.BoolVar(&force, "force", false, "write over whatever is there")
	return cmd
}

// cardPage writes the page to its file.
func (a *app) cardPage(plan *routine.Plan, to target) error {
	if err := to.check(); err != nil {
		return err
	}
	if err := to.write(a.stdout, page.Card{Plan: plan}.HTML()); err != nil {
		return err
	}
	if to.path != "-" {
		say(a.stdout, "%s: run sheet of %s", to.path, plan.Name)
	}
	return nil
}

// The widths of the plain card.
const (
	cardWidth = 80
	cardWho   = 8 // of who does it
)

// cardText writes the card as plain text, no wider than cardWidth where words
// can be parted.
func cardText(out io.Writer, p *routine.Plan) error {
	say(out, "%s", p.Name)
	say(out, "limit %s, planned to end at %s", brew.Exact(p.Limit), brew.Exact(p.End))
	say(out, "%s", p.Rules.Say(p.Limit))
	if text := routine.ToCheck(p.Assumed); text != "" {
		say(out, "%s", text)
	}
	if len(p.Ready) > 0 {
		fmt.Fprintln(out, "\nset-up")
		for _, r := range p.Ready {
			hang(out, "      - ", r)
		}
	}
	for _, e := range p.Sheet() {
		clock := fmt.Sprintf("%5s  ", brew.Clock(e.Start))
		switch e.Kind {
		case routine.ASection:
			fmt.Fprintln(out)
			say(out, "%s%s", clock, strings.ToUpper(e.What))
		case routine.ACall:
			fmt.Fprintf(out, "\n%s*** %s ***\n", clock, e.What)
		case routine.ALine:
			hang(out, clock, quotedLine(e))
		case routine.ACue:
			hang(out, clock+fmt.Sprintf("%-*s ", cardWho, draw.Fit(e.Who, cardWho)), cueLine(e))
		}
	}
	return nil
}

// hang writes a text behind a lead, its further lines below its first.
func hang(out io.Writer, lead, text string) {
	for i, line := range draw.Wrap(draw.OneLine(text), cardWidth-draw.Width(lead)) {
		if i > 0 {
			lead = strings.Repeat(" ", draw.Width(lead))
		}
		fmt.Fprintln(out, draw.OneLine(lead+line))
	}
}

// quotedLine is what is said, with what it is tied to.
func quotedLine(e routine.Entry) string {
	if e.Note == "" {
		return e.What
	}
	return e.What + " [" + e.Note + "]"
}

// cueLine is what is done, with the weight that is reached and when.
func cueLine(e routine.Entry) string {
	return e.What + ", " + e.By
}

// cardMarkdown writes the card as Markdown: a table for each section.
func cardMarkdown(out io.Writer, p *routine.Plan) error {
	fmt.Fprintf(out, "# %s\n\nLimit %s, planned to end at %s. %s.\n", plainMarkdown(p.Name), brew.Exact(p.Limit), brew.Exact(p.End), plainMarkdown(p.Rules.Say(p.Limit)))
	if text := routine.ToCheck(p.Assumed); text != "" {
		fmt.Fprintf(out, "\n**%s**\n", plainMarkdown(text))
	}
	if len(p.Ready) > 0 {
		fmt.Fprintln(out, "\n## Set-up")
		fmt.Fprintln(out)
		for _, r := range p.Ready {
			fmt.Fprintf(out, "- %s\n", plainMarkdown(r))
		}
	}
	for _, e := range p.Sheet() {
		switch e.Kind {
		case routine.ASection:
			fmt.Fprintf(out, "\n## %s %s\n\n| clock | who | what |\n| --- | --- | --- |\n", brew.Clock(e.Start), plainMarkdown(e.What))
		case routine.ACall:
			fmt.Fprintf(out, "\n**%s %s**\n", brew.Clock(e.Start), e.What)
		case routine.ALine:
			fmt.Fprintf(out, "| %s | talk | %s |\n", brew.Clock(e.Start), plainMarkdown(quotedLine(e)))
		case routine.ACue:
			fmt.Fprintf(out, "| %s | %s | %s |\n", brew.Clock(e.Start), plainMarkdown(e.Who), plainMarkdown(cueLine(e)))
		}
	}
	return nil
}

// plainMarkdown is a text as Markdown reads it: nothing in it is markup (CommonMark
// 0.31, section 2.4).
func plainMarkdown(text string) string {
	var b strings.Builder
	for _, r := range draw.OneLine(text) {
		if strings.ContainsRune("\\`*_{}[]<>#|~&", r) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}
