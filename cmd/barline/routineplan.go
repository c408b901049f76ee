package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"

	"barline/brew"
	"barline/brew/routine"
	"barline/recipes"
)

// wantedGain is how much sooner the plan of a routine asks to end.
const wantedGain = 10 * time.Second

// mostRooms is how many of the things with the least slack are told.
const mostRooms = 5

// mostGains is how many ways to end sooner are told.
const mostGains = 12

// gainNodes is how long each change is planned anew.
const gainNodes = 2_000

// planRoutine shows a routine on the clock: whether it is possible, where the
// least slack is and what would have to move.
func (a *app) planRoutine(document *recipes.RoutineDocument, err error, dose string, asJSON bool) error {
	if err != nil {
		return err
	}
	if dose != "" {
		return &inputError{"--dose is for a recipe", "give a brew of the routine its dose in the file"}
	}
	search, faults, err := a.resolve(document)
	if err != nil {
		return err
	}
	if errs := faults.Errors(); len(errs) > 0 {
		io.WriteString(a.stderr, errs.Text())
		return errTold
	}
	if !search.Found() {
		io.WriteString(a.stderr, faults.Text())
		return errTold
	}
	plan := search.Plan()
	rooms, gains := search.Rooms(), search.Gains(wantedGain, gainNodes)
	if asJSON {
		return printJSON(a.stdout, routineJSON(plan, search, rooms, gains, faults))
	}
	io.WriteString(a.stderr, faults.Text())
	out := &planOut{Writer: a.stdout}
	out.head(plan, search)
	out.sheet(plan)
	out.rooms(rooms)
	out.gains(gains)
	return nil
}

// planOut is where a plan is told.
type planOut struct{ io.Writer }

func (s *planOut) line(format string, args ...any) { say(s, format, args...) }

// head says what the plan comes to.
func (s *planOut) head(p *routine.Plan, search *routine.Search) {
	s.line("%s: %s, limit %s, version %s", p.Name, counted(len(p.Cups), "cup"), brew.Exact(p.Limit), p.Version)
	s.line("rules: %s", p.Rules.Say(p.Limit))
	if text := routine.ToCheck(p.Assumed); text != "" {
		s.line("       %s", text)
	}
	how := "the soonest end that was found; nothing ends before " + brew.Exact(time.Duration(search.Bound())*time.Second)
	if search.Proven() {
		how = "no plan ends sooner"
	}
	s.line("one person, one voice: possible, ends at %s (%s), %s", brew.Exact(p.End), how, against(p))
	if search.Moved() {
		s.line("steps come later than their recipes have them, within their windows")
	}
	s.line("%d words in %s of %s", words(p), brew.Spoken(spoken(p)), brew.Spoken(p.End))
}

// against sets the end against the limit.
func against(p *routine.Plan) string {
	if over := p.End - p.Limit; over > 0 {
		return brew.Spoken(over) + " over the limit: " + p.Rules.Penalty(p.Limit, p.End).String()
	}
	return brew.Spoken(p.Limit-p.End) + " under the limit"
}

func words(p *routine.Plan) (n int) {
	for _, l := range p.Lines {
		n += routine.Words(l.Words)
	}
	return n
}

func spoken(p *routine.Plan) (sum time.Duration) {
	for _, l := range p.Lines {
		if l.Words != "" {
			sum += l.Length
		}
	}
	return sum
}

// sheet is all that happens, in order.
func (s *planOut) sheet(p *routine.Plan) {
	for _, r := range p.Ready {
		s.line("set-up: %s", r)
	}
	fmt.Fprintln(s)
	w := tabwriter.NewWriter(s, 0, 0, 2, ' ', 0)
	io.WriteString(w, cells("from", "to", "who", "what"))
	for _, e := range p.Sheet() {
		to := brew.Exact(e.End)
		if e.Kind == routine.ASection || e.Kind == routine.ACall {
			to = ""
		}
		io.WriteString(w, cells(brew.Exact(e.Start), to, e.Who, e.What))
	}
	w.Flush()
}

// rooms says where the least slack is.
func (s *planOut) rooms(rooms []routine.Room) {
	if len(rooms) == 0 {
		return
	}
	fmt.Fprintln(s, "\nleast slack, all else keeping its order:")
	w := tabwriter.NewWriter(s, 0, 0, 2, ' ', 0)
	for _, r := range rooms[:min(len(rooms), mostRooms)] {
		wait := "may wait " + brew.Spoken(r.Wait)
		if r.Free > 0 {
			wait += ", " + brew.Spoken(r.Free) + " of it without a later end of anything"
		}
		io.WriteString(w, cells("  "+brew.Exact(r.At), r.What, wait))
	}
	w.Flush()
}

// gains says what would have to move.
func (s *planOut) gains(gains []routine.Gain) {
	if len(gains) == 0 {
		s.line("\nnothing that was tried makes it end sooner")
		return
	}
	fmt.Fprintf(s, "\nto end %s sooner:\n", brew.Spoken(wantedGain))
	for n, g := range gains {
		if n == mostGains {
			s.line("  and %d other ways", len(gains)-n)
			break
		}
		note := ""
		if g.By < wantedGain {
			note = ", which is the most that was found"
		}
		s.line("  %s: %s sooner%s", strings.Join(g.What, ", and "), brew.Spoken(g.By), note)
	}
}
