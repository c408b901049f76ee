package main

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"barline/brew/routine"
	"barline/recipes"
	"barline/tui"
	"barline/tui/live"
	"barline/tui/rehearsal"

	"github.com/spf13/cobra"
)

// rehearseFlags say how a routine is rehearsed.
type rehearseFlags struct {
	by      string
	from    string
	to      string
	manual  bool
	speed   float64
	dry     bool
	countIn time.Duration
	plain   bool
}

// newRehearse returns the command that calls a competition routine.
func newRehearse(a *app) *cobra.Command {
	f, countIn := &rehearseFlags{}, ""
	cmd := &cobra.Command{
		Use:   "rehearse ROUTINE",
		Short: "rehearse a competition routine: cues, lines, the time left",
		Long: "rehearse calls the cues of a routine and goes through its lines, and says at every\n" +
			"moment how much time is left and how far behind the plan you are. Each take is kept.\n\n" +
			"With --plain, or where there is no terminal, everything is said as lines, and a\nline of input is a key: " + rehearsePlainHelp + ".",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeRoutines(),
		RunE: func(cmd *cobra.Command, args []string) error {
			f.countIn = a.config.countIn
			if cmd.Flags().Changed("count-in") {
				var err error
				if f.countIn, err = parseCountIn(countIn); err != nil {
					return err
				}
			}
			return a.rehearse(f, args[0])
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&f.by, "by", "", "who performs")
	flags.StringVar(&f.from, "from", "", "begin with this section, by its name or number")
	flags.StringVar(&f.to, "to", "", "end with this section")
	flags.BoolVar(&f.manual, "manual", false, "a line begins only with its key, not by itself")
	flags.BoolVar(&f.dry, "dry", false, "without water: drawdowns and waits over 5 s take 5 s; such takes are kept apart")
	flags.Float64Var(&f.speed, "speed", 1, "of the clock, 0.1 to 100; another than 1 is left out of what takes tell")
	flags.StringVar(&countIn, "count-in", "", "time between the key and the start, such as 3s")
	flags.BoolVar(&f.plain, "plain", false, "as lines of text, without a screen")
	return cmd
}

// rehearse calls a routine on a screen, or as lines, until the person leaves.
func (a *app) rehearse(f *rehearseFlags, name string) error {
	if !(0.1 <= f.speed && f.speed <= 100) {
		return fmt.Errorf("--speed %g is outside 0.1 to 100", f.speed)
	}
	document, err := a.findRoutine(name)
	if err != nil {
		return err
	}
	plan, err := a.performed(document, f.dry)
	if err != nil {
		return err
	}
	opt, err := a.rehearsing(f, plan)
	if err != nil {
		return err
	}
	book := a.book()
	keeper := a.takesKeeper(book, document, opt)
	opt.Recorder = keeper
	var page rehearsal.Page
	if f.plain || a.screenless() != "" {
		page = a.plainRehearsal(opt)
	} else {
		page, err = a.showRehearsal(book, opt)
		a.sayTakes(page)
	}
	return errors.Join(err, endedTake(page), keeper.close(a.env), book.close())
}

// showRehearsal rehearses on a screen.
func (a *app) showRehearsal(book *book, opt rehearsal.Options) (rehearsal.Page, error) {
	m, err := a.show(book, func(t *tui.Terminal) tui.Model {
		opt.Theme = a.look()
		if a.rings() {
			opt.Bell = t.Ring
		}
		return tui.OpenRehearsal(tui.Options{Theme: opt.Theme, Keys: a.config.markKeys(), Now: a.now}, rehearsal.New(opt))
	})
	return m.Rehearsal(), err
}

// rehearsing returns how a plan is rehearsed.
func (a *app) rehearsing(f *rehearseFlags, plan *routine.Plan) (rehearsal.Options, error) {
	opt := rehearsal.Options{
		Plan: plan, Run: plan.Whole(), By: firstOf(f.by, a.config.by), Dry: f.dry, Speed: f.speed, CountIn: f.countIn,
		Ahead: live.DefaultAhead, Keys: rehearsal.DefaultKeys(), Now: a.now, Slept: slept(a.clock),
	}
	opt.Keys.Mark = a.config.markKeys().Mark
	opt.Run.Manual = f.manual
	if a.config.ahead != nil {
		opt.Ahead = *a.config.ahead
	}
	for _, bound := range []struct {
		flag, name string
		section    *int
	}{{"--from", f.from, &opt.Run.From}, {"--to", f.to, &opt.Run.To}} {
		if bound.name == "" {
			continue
		}
		var err error
		if *bound.section, err = sectionOf(plan, bound.flag, bound.name); err != nil {
			return opt, err
		}
	}
	if opt.Run.To < opt.Run.From {
		return opt, fmt.Errorf("--to %q comes before --from %q", f.to, f.from)
	}
	return opt, nil
}

// sectionOf returns the section of a plan that has a name, or a number from 1.
func sectionOf(plan *routine.Plan, flag, name string) (int, error) {
	if i := plan.Section(name); i >= 0 {
		return i, nil
	}
	if n, err := strconv.Atoi(name); err == nil && n >= 1 && n <= len(plan.Sections) {
		return n - 1, nil
	}
	var names []string
	for i, s := range plan.Sections {
		names = append(names, fmt.Sprintf("%d %s", i+1, s.Name))
	}
	return 0, fmt.Errorf("%s %q is no section of %s: %s", flag, name, plan.Name, strings.Join(names, ", "))
}

// takesKeeper returns what keeps the takes of a rehearsal.
func (a *app) takesKeeper(b *book, document *recipes.RoutineDocument, opt rehearsal.Options) *takesKeeper {
	k := newTakesKeeper(b, opt, string(document.Text()))
	for _, cup := range opt.Plan.Cups {
		text := ""
		if recipe, err := a.find(cup.Recipe); err == nil {
			text = string(recipe.Text())
		}
		k.texts = append(k.texts, text)
	}
	return k
}

// sayTakes writes what became of each take that a page was left with.
func (a *app) sayTakes(page rehearsal.Page) {
	takes := page.Takes()
	out := tui.ASCII(a.stdout, a.getenv)
	for i, r := range takes {
		name := r.Plan.Name
		if len(takes) > 1 {
			name += fmt.Sprintf(", take %d", i+1)
		}
		say(out, "%s", name)
		printTold(out, r)
	}
}

// toldWidth is how wide the debrief of a take is written.
const toldWidth = 80

func printTold(out io.Writer, r routine.Result) {
	for _, row := range rehearsal.Debrief(r, toldWidth) {
		say(out, "%s", row.Text)
	}
}

// endedTake returns the error that stands for how the last take ended.
func endedTake(page rehearsal.Page) error {
	takes := page.Takes()
	if len(takes) > 0 && takes[len(takes)-1].Ending == routine.Stopped {
		return errStopped
	}
	return nil
}
