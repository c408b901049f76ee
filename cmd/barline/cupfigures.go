package main

import (
	"fmt"
	"strings"

	"barline/brew"
	"barline/brew/cup"

	"github.com/spf13/cobra"
)

// figureFlags are the figures of a cup as they stand on the command line.
type figureFlags struct {
	figures              map[cup.Name]*string
	balance, method      string
	bypass               string
	at                   string // of what was measured as a volume
	scale, refractometer string
	json                 bool
}

// flagOf is the name of a figure's flag.
func flagOf(n cup.Name) string { return strings.ReplaceAll(string(n), " ", "-") }

var figureHelp = map[cup.Name]string{
	cup.Dose:       "dry coffee, g",
	cup.Water:      "on the coffee, g",
	cup.Beverage:   "in the server, g",
	cup.Strength:   "of the beverage, dissolved coffee by mass, %",
	cup.Extraction: "dissolved coffee, % of the dose",
	cup.Retained:   "liquid that a gram of grounds keeps, g",
	cup.Last:       "strength of the last drops, %; of the drained balance",
}

func (f *figureFlags) register(cmd *cobra.Command, names ...cup.Name) {
	f.figures = map[cup.Name]*string{}
	flags := cmd.Flags()
	for _, n := range names {
		f.figures[n] = flags.String(flagOf(n), "", figureHelp[n])
	}
	flags.StringVar(&f.balance, "balance", "", "percolation, immersion or drained (default by --method, else percolation)")
	flags.StringVar(&f.method, "method", "", "press, pot and cupping are worked out by immersion, cone and flat bed by percolation")
	flags.StringVar(&f.bypass, "bypass", "", "water that went past the coffee into the server, g")
	flags.StringVar(&f.at, "at", "", "temperature of what is given in ml, °C")
	flags.StringVar(&f.scale, "scale", "", fmt.Sprintf("standard uncertainty of the scale, g (default %g)", cup.UsualInstruments.Scale))
	flags.StringVar(&f.refractometer, "refractometer", "", fmt.Sprintf("standard uncertainty of the refractometer, %% (default %g)", cup.UsualInstruments.Refractometer))
	flags.BoolVar(&f.json, "json", false, inJSON)
	balances := make([]string, 0, 3)
	for _, b := range cup.Balances() {
		balances = append(balances, string(b))
	}
	cmd.RegisterFlagCompletionFunc("balance", cobra.FixedCompletions(balances, cobra.ShellCompDirectiveNoFileComp))
}

// read returns the figures that were given, with their uncertainties, and the
// balance that they are worked out by.
func (f *figureFlags) read() (cup.Figures, cup.Balance, error) {
	balance, err := f.by()
	if err != nil {
		return nil, "", err
	}
	instruments, err := f.instruments()
	if err != nil {
		return nil, "", err
	}
	out := cup.Figures{}
	for _, n := range cup.Names() {
		text := f.figures[n]
		if text == nil || *text == "" {
			continue
		}
		x, err := f.figure(n, *text)
		if err != nil {
			return nil, "", err
		}
		out[n] = instruments.Read(n, x)
	}
	return out, balance, nil
}

func (f *figureFlags) figure(n cup.Name, text string) (float64, error) {
	if n.Unit() == "%" {
		return readShare("--"+flagOf(n), text)
	}
	return readGrams("--"+flagOf(n), text, f.at)
}

// by returns the balance that was asked for, else the method's, else
// percolation, which takes the fewest figures.
func (f *figureFlags) by() (cup.Balance, error) {
	switch {
	case f.balance != "":
		for _, b := range cup.Balances() {
			if string(b) == f.balance {
				return b, nil
			}
		}
		return "", &usageError{fmt.Sprintf("--balance %q is none of percolation, immersion, drained", f.balance), "leave it out, and give --method"}
	case f.method != "":
		b, ok := cup.BalanceOf(brew.Method(f.method))
		if !ok {
			return "", &usageError{fmt.Sprintf("--method %q has no balance of its own", f.method), "say with --balance how it is worked out: percolation, immersion or drained"}
		}
		return b, nil
	}
	return cup.Percolation, nil
}

func (f *figureFlags) instruments() (cup.Instruments, error) {
	out, err := cup.UsualInstruments, error(nil)
	if f.scale != "" {
		if out.Scale, err = readGrams("--scale", f.scale, ""); err != nil {
			return out, err
		}
	}
	if f.refractometer != "" {
		if out.Refractometer, err = readShare("--refractometer", f.refractometer); err != nil {
			return out, err
		}
	}
	if out.Scale > worstInstruments.Scale {
		return out, tooBad("--scale", f.scale, "50 g", "0.1")
	}
	if out.Refractometer > worstInstruments.Refractometer {
		return out, tooBad("--refractometer", f.refractometer, "a point", "0.03")
	}
	return out, nil
}

// worstInstruments are beyond any that a cup is read with.
var worstInstruments = cup.Instruments{Scale: 50, Refractometer: 1}

func tooBad(flag, text, most, such string) error {
	return &inputError{fmt.Sprintf("%s %q: one that may be off by more than %s tells nothing", flag, text, most), "write such as " + such}
}

// want works one figure out. What nobody measured may be taken as usual; said
// tells of that.
func (f *figureFlags) want(n cup.Name, b cup.Balance, known cup.Figures) (q cup.Quantity, said string, err error) {
	bypass := cup.Quantity{}
	if f.bypass != "" {
		grams, err := readGrams("--bypass", f.bypass, f.at)
		if err != nil {
			return q, "", err
		}
		if grams > 0 {
			instruments, _ := f.instruments() // were read with the figures
			bypass = instruments.Read(cup.Water, grams)
		}
	}
	q, usual, err := cup.WantServer(n, b, known, bypass)
	if err != nil {
		return q, "", slipped(err)
	}
	switch {
	case usual:
		said = sentence(cup.Assumed(b))
	case known.ReadTogether() != nil:
		said = sentence(cup.OneRefractometer)
	}
	return q, said, nil
}

// sentence returns a text as one.
func sentence(text string) string { return strings.ToUpper(text[:1]) + text[1:] + "." }

// newCupExtraction returns the command that says how much of the coffee was
// dissolved.
func newCupExtraction(a *app) *cobra.Command {
	f := &figureFlags{}
	cmd := &cobra.Command{
		Use:   "extraction --dose G --water G --beverage G --strength %",
		Short: "how much of the coffee was dissolved, from a strength that was read",
		Args:  flagsAlone,
		RunE: func(*cobra.Command, []string) error {
			known, balance, err := f.read()
			if err != nil {
				return err
			}
			q, said, err := f.want(cup.Extraction, balance, known)
			if err != nil {
				return err
			}
			return a.answer(f.json, struct {
				Extraction float64     `json:"extraction_pct"`
				U          float64     `json:"u_pct"`
				Balance    cup.Balance `json:"balance"`
			}{rounded(q.Value, 4), rounded(q.U, 4), balance},
				append(texts(fmt.Sprintf("Extraction %s (%s; ± is one standard uncertainty).", q.Words("%"), balance), said), inCup(known, balance)...)...)
		},
	}
	f.register(cmd, cup.Dose, cup.Water, cup.Beverage, cup.Strength, cup.Retained, cup.Last)
	return cmd
}

// texts returns the texts that say something.
func texts(all ...string) []string {
	var out []string
	for _, text := range all {
		if text != "" {
			out = append(out, text)
		}
	}
	return out
}

// inCup says how much of the coffee is in the cup, where the grounds hold some
// of what was dissolved.
func inCup(known cup.Figures, b cup.Balance) []string {
	share, ok := known.InCup()
	if !ok || b == cup.Percolation {
		return nil
	}
	return []string{fmt.Sprintf("%.2f %% of the dose is in the beverage; the grounds hold the rest of what was dissolved.", share)}
}

// newCupStrength returns the inverse.
func newCupStrength(a *app) *cobra.Command {
	f := &figureFlags{}
	cmd := &cobra.Command{
		Use:   "strength --dose G --water G --beverage G --extraction %",
		Short: "how strong a beverage is, from the extraction that is aimed at",
		Args:  flagsAlone,
		RunE: func(*cobra.Command, []string) error {
			known, balance, err := f.read()
			if err != nil {
				return err
			}
			q, said, err := f.want(cup.Strength, balance, known)
			if err != nil {
				return err
			}
			return a.answer(f.json, struct {
				Strength float64 `json:"strength_pct"`
				U        float64 `json:"u_pct"`
			}{rounded(q.Value, 4), rounded(q.U, 4)},
				texts(fmt.Sprintf("Strength %s (%s; ± is one standard uncertainty).", q.Words("%"), balance), said)...)
		},
	}
	f.register(cmd, cup.Dose, cup.Water, cup.Beverage, cup.Extraction, cup.Retained, cup.Last)
	return cmd
}
