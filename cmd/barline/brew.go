package main

import (
	"errors"
	"fmt"
	"os"
	"runtime"
	"slices"
	"time"

	"barline/brew"
	"barline/brew/drift"
	"barline/recipes"
	"barline/tui"
	"barline/tui/live"
	"barline/tui/pages"
	"barline/tui/plain"

	"github.com/charmbracelet/x/term"
	"github.com/spf13/cobra"
)

// brewFlags say how a brew is called.
type brewFlags struct {
	by      string
	coffee  string
	lot     string
	setting string
	kettle  string
	kind    string
	dose    string
	speed   float64
	from    string
	marks   string
	countIn time.Duration
	plain   bool
}

// newBrew returns the command that calls a brew.
func newBrew(a *app) *cobra.Command {
	f, countIn := &brewFlags{}, ""
	cmd := &cobra.Command{
		Use:   "brew RECIPE",
		Short: "call a recipe's cues while you brew, and take your marks",
		Long: "brew calls a recipe's cues while you brew, and takes your marks.\n\n" +
			"With --plain, or where there is no terminal, everything is said as lines, and a\nline of input is a key: " + plain.Help + ".",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeRecipes(),
		RunE: func(cmd *cobra.Command, args []string) error {
			f.countIn = a.config.countIn
			if cmd.Flags().Changed("count-in") {
				var err error
				if f.countIn, err = parseCountIn(countIn); err != nil {
					return err
				}
			}
			return a.callBrew(f, args[0])
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&f.by, "by", "", "who brews")
	flags.StringVar(&f.coffee, "coffee", "", "what is brewed")
	flags.StringVar(&f.lot, "lot", "", "its lot")
	flags.StringVar(&f.setting, "setting", "", "of the grinder")
	flags.StringVar(&f.kettle, "kettle", "", "what the kettle is set to, such as '96 °C'")
	flags.StringVar(&f.kind, "kind", "", "service, rehearsal or practice (default service, practice at another speed or start)")
	flags.StringVar(&f.dose, "dose", "", "scale the recipe to this dose, in grams")
	flags.Float64Var(&f.speed, "speed", 1, "of the clock, 0.1 to 100; another than 1 is practice")
	flags.StringVar(&f.from, "from", "", "start the clock at this time, m:ss; this is practice")
	flags.StringVar(&f.marks, "marks", "", "which beats wait for a mark: all, asked or none (default asked)")
	flags.StringVar(&countIn, "count-in", "", "time between the key and the start, such as 3s")
	cmd.RegisterFlagCompletionFunc("marks", cobra.FixedCompletions([]cobra.Completion{"all", "asked", "none"}, cobra.ShellCompDirectiveNoFileComp))
	cmd.RegisterFlagCompletionFunc("kind", cobra.FixedCompletions([]cobra.Completion{"service", "rehearsal", "practice"}, cobra.ShellCompDirectiveNoFileComp))
	flags.BoolVar(&f.plain, "plain", false, "as lines of text, without a screen")
	return cmd
}

// callBrew calls one recipe on a screen, or as lines.
func (a *app) callBrew(f *brewFlags, name string) error {
	plan, document, warnings, err := a.planned(name, f.dose)
	if err != nil {
		return err
	}
	opt, keeper, err := a.brewing(f, plan, document.Text())
	if err != nil {
		return err
	}
	book := a.book()
	book.keep(keeper)
	if f.plain || a.screenless() != "" {
		out := tui.ASCII(a.stdout, a.getenv)
		book.tellBack(out)
		result := plain.Run(a.stdin, out, opt)
		return errors.Join(ended(result.Lane), book.close())
	}
	fmt.Fprint(a.stderr, warnings.Text())
	m, err := a.show(book, func(t *tui.Terminal) tui.Model {
		opt = a.onScreen(opt, t)
		return tui.OpenLive(tui.Options{Theme: opt.Theme, Keys: opt.Keys, Now: a.now, LookBack: book.lookBack}, live.New(opt))
	})
	for _, page := range m.Brewed() {
		err = errors.Join(err, ended(page.Timeline().Lane(0)))
	}
	return errors.Join(err, book.close())
}

// brewing returns how a brew of the plan is called, and what keeps its
// record.
func (a *app) brewing(f *brewFlags, plan *brew.Plan, text []byte) (live.Options, *keeper, error) {
	opt := a.liveOptions()
	if err := f.check(); err != nil {
		return opt, nil, err
	}
	opt.Title, opt.By, opt.Speed, opt.CountIn = plan.Name, firstOf(f.by, a.config.by), f.speed, f.countIn
	if !(0.1 <= f.speed && f.speed <= 100) {
		return opt, nil, fmt.Errorf("--speed %g is outside 0.1 to 100", f.speed)
	}
	policy := brew.Policy(firstOf(f.marks, string(a.config.marks), string(brew.MarksAsked)))
	if !slices.Contains([]brew.Policy{brew.MarksAll, brew.MarksAsked, brew.MarksNone}, policy) {
		return opt, nil, fmt.Errorf("--marks %q is none of all, asked, none", f.marks)
	}
	opt.Plans = []*brew.Plan{plan.WithMarks(policy)}
	var err error
	if opt.From, err = parseFrom(f.from, plan); err != nil {
		return opt, nil, err
	}
	if opt.Kind, err = f.kindOf(opt); err != nil {
		return opt, nil, err
	}
	keeper, err := a.keeper(f, opt, policy, text)
	if err != nil {
		return opt, nil, err
	}
	opt.Recorder = keeper
	return opt, keeper, nil
}

// liveOptions returns what every brew has in common.
func (a *app) liveOptions() live.Options {
	opt := live.Options{Ahead: live.DefaultAhead, Keys: a.config.markKeys(), Now: a.now, Slept: slept(a.clock)}
	if a.config.ahead != nil {
		opt.Ahead = *a.config.ahead
	}
	return opt
}

// kindOf returns what the brew is for.
func (f *brewFlags) kindOf(opt live.Options) (string, error) {
	switch kind := drift.Kind(f.kind); {
	case kind == "" && (opt.Speed != 1 || opt.From > 0):
		return string(drift.Practice), nil
	case kind == "":
		return string(drift.Service), nil
	case kind != drift.Service && kind != drift.Rehearsal && kind != drift.Practice:
		return "", fmt.Errorf("--kind %q is none of service, rehearsal, practice", f.kind)
	}
	return f.kind, nil
}

// openShelf opens the program on its shelf.
func (a *app) openShelf() error {
	shelf, err := a.shelf()
	if err != nil {
		return err
	}
	if why := a.screenless(); why != "" {
		return &inputError{"the shelf needs a terminal" + why, "barline recipes lists the recipes, barline brew RECIPE --plain calls one as lines"}
	}
	book := a.book()
	_, err = a.show(book, func(t *tui.Terminal) tui.Model {
		return tui.Open(tui.Options{
			Theme: a.look(), Keys: a.config.markKeys(), Now: a.now, Recipes: a.onShelf(shelf), Journal: book, Drifts: book, Cups: book, LookBack: book.lookBack,
			Brew: func(r pages.Recipe) live.Options {
				f := &brewFlags{speed: 1, countIn: a.config.countIn}
				opt, keeper, _ := a.brewing(f, r.Plan, r.Text)
				if keeper != nil {
					book.keep(keeper)
				}
				return a.onScreen(opt, t)
			},
		})
	})
	return errors.Join(err, book.close())
}

// onShelf returns the recipes as the pages show them.
func (a *app) onShelf(s *recipes.Shelf) []pages.Recipe {
	var out []pages.Recipe
	for _, entry := range s.Entries() {
		r := pages.Recipe{Stem: entry.Stem, Name: entry.Name, Line: entry.Line(), Own: !entry.Shipped, Faults: entry.Faults.Text(), Boils: a.config.boils, Cools: a.config.cools}
		r.Recipe, r.Text = entry.Document.Recipe(), entry.Document.Text()
		if len(entry.Faults.Errors()) == 0 {
			r.Plan, _ = brew.NewPlan(r.Recipe, a.bar())
		}
		out = append(out, r)
	}
	return out
}

// onScreen adds to a brew's options what only a screen has.
func (a *app) onScreen(opt live.Options, t *tui.Terminal) live.Options {
	opt.Theme = a.look()
	if a.rings() {
		opt.Bell = t.Ring
	}
	return opt
}

// show runs the program on the terminal until the person leaves it or it is
// ended, and writes what was brewed on the normal screen.
func (a *app) show(book *book, open func(*tui.Terminal) tui.Model) (tui.Model, error) {
	terminal, err := tui.OpenTerminal(os.Stdin, os.Stdout)
	if err != nil {
		return tui.Model{}, &inputError{err.Error(), "barline brew RECIPE --plain needs none"}
	}
	book.terminal = terminal
	m, err := tui.Run(open(terminal), terminal, func(code int) {
		book.abandon()
		os.Exit(code)
	})
	if errors.Is(err, tui.ErrPanic) {
		book.sayKept() // the pages are lost, the record is not
		return m, err
	}
	var ended *tui.Ended
	cutOff := errors.As(err, &ended)
	if n := m.Earlier(); n > 0 {
		fmt.Fprintf(a.stdout, "%s before these; barline journal lists them\n", counted(n, "brew"))
	}
	for _, page := range m.Brewed() {
		a.sayBrewed(page, cutOff)
	}
	if err != nil && !cutOff {
		err = &inputError{"the terminal: " + err.Error(), "barline brew RECIPE --plain needs no screen"}
	}
	return m, err
}

// sayBrewed writes the debrief of a page that was left, if it was brewed.
func (a *app) sayBrewed(page live.Page, cutOff bool) {
	if lane := page.Timeline().Lane(0); lane.Started() {
		conditions := page.Conditions()
		conditions.CutOff = cutOff
		d := conditions.Of(lane)
		out := tui.ASCII(a.stdout, a.getenv)
		printDebrief(out, d)
		printCup(out, d, lane.Plan(), page.Reading(), true)
	}
}

// ended returns the error that stands for how a brew ended.
func ended(lane brew.Lane) error {
	if how, _, _ := lane.Ending(); how == brew.Stopped {
		return errStopped
	}
	return nil
}

// screenless returns why there is no screen to draw on, in words that follow
// what needs one; "" where there is a screen.
func (a *app) screenless() string {
	out, ok := a.stdout.(*os.File)
	kind := a.getenv("TERM")
	switch {
	case !ok || !term.IsTerminal(out.Fd()):
		return " to draw on"
	case kind == "dumb":
		return " with a screen, and TERM is dumb"
	case kind == "" && runtime.GOOS != "windows":
		return " of a known kind, and TERM is not set"
	}
	return ""
}
