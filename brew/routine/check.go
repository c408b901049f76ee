package routine

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"barline/brew"
)

// Ranges outside of which a figure is a slip of the pen, not a routine.
const (
	MostLimit    = 60 * time.Minute
	LeastPace    = 60 // words a minute
	MostPace     = 300
	MostBrews    = 12
	MostParts    = 200
	LongestWords = 2000 // in characters, of a part
	MostPoints   = 1000
)

// The paces that an audience follows with ease; common practice, no source.
const (
	SlowPace = 80 // words a minute
	FastPace = 190
)

// The lists of a routine, for the places of its faults. Parts count through
// all sections.
const (
	InBrews    brew.Part = "brews"
	InSections brew.Part = "sections"
	InParts    brew.Part = "parts"
)

// Find returns the recipe that goes by a name. The error says why there is
// none.
type Find func(name string) (brew.Recipe, error)

// Resolve returns the routine with its recipes, what is wrong with it and what
// is unwise, in its order. Only where there are no errors can it be planned.
func Resolve(r Routine, find Find, bar brew.Bar) (Resolved, brew.Faults) {
	c := &checker{Resolved: Resolved{Routine: r, Recipes: make([]brew.Recipe, len(r.Brews)), Bar: bar}, plans: make([]*brew.Plan, len(r.Brews))}
	c.figures()
	c.rules()
	for i := range r.Brews {
		c.brew(i, find)
	}
	c.setup()
	c.sections()
	c.parts()
	return c.Resolved, c.faults
}

type checker struct {
	Resolved
	plans  []*brew.Plan // nil where there is none
	faults brew.Faults
}

func (c *checker) add(s brew.Severity, p brew.Place, hint, format string, args ...any) {
	c.faults = append(c.faults, brew.Fault{Severity: s, Place: p, Message: fmt.Sprintf(format, args...), Hint: hint})
}

func at(key string) brew.Place { return brew.Place{Key: key} }

func (c *checker) figures() {
	if n := utf8.RuneCountInString(c.Name); n == 0 || n > brew.LongestName {
		c.add(brew.Error, at("name"), "", "name has %d characters, not 1 to %d", n, brew.LongestName)
	}
	if c.Limit <= 0 || c.Limit > MostLimit {
		c.add(brew.Error, at("limit"), "check the figure and its unit", "limit %s is outside 0 s to %s", brew.Spoken(c.Limit), brew.Spoken(MostLimit))
	}
	switch {
	case c.Pace == 0:
	case c.Pace < LeastPace || c.Pace > MostPace:
		c.add(brew.Error, at("pace"), "count the words that you say in a minute", "pace %d words/min is outside %d to %d", c.Pace, LeastPace, MostPace)
	case c.Pace < SlowPace || c.Pace > FastPace:
		c.add(brew.Warning, at("pace"), "say a part aloud with a stopwatch", "pace %d words/min is outside the usual %d to %d", c.Pace, SlowPace, FastPace)
	}
	if n := len(c.Brews); n == 0 || n > MostBrews {
		c.add(brew.Error, at("brews"), "keep those that one person can serve", "%d brews, not 1 to %d", n, MostBrews)
	}
}

func (c *checker) rules() {
	r := c.Rules
	if r.Out > 0 && r.Out < c.Limit && c.Limit <= MostLimit {
		c.add(brew.Error, at("rules.out"), "it is a moment of the clock, such as "+clock(c.Limit+UsualOut), "out %s comes before the limit, %s", clock(r.Out), clock(c.Limit))
	}
	for key, n := range map[string]int{"rules.points": r.Points, "rules.cap": r.Cap} {
		if n < 0 || n > MostPoints {
			c.add(brew.Error, at(key), "", "%d points, not 1 to %d", n, MostPoints)
		}
	}
	full, _ := r.Filled(c.Limit)
	if full.Cap < full.Points && full.Points <= MostPoints {
		c.add(brew.Warning, at("rules.cap"), "cap is the most points in all, points those of each second", "cap %d is less than one second costs, %d", full.Cap, full.Points)
	}
}

// brew checks a brew and fills in its recipe, for its dose, and its plan.
func (c *checker) brew(i int, find Find) {
	b := c.Brews[i]
	in := func(key string) brew.Place { return brew.Place{Part: InBrews, Index: i, Key: key} }
	if first := slices.IndexFunc(c.Brews, func(o Brew) bool { return o.ID == b.ID }); first < i {
		c.add(brew.Error, in("id"), "give each brew an id of its own", "id %q is that of brew %d too", b.ID, first+1)
	}
	c.whole(in("at"), b.At)
	if !c.recipe(i, find) {
		return
	}
	c.quiet(i)
	if b.Within > 0 && b.Serve == 0 {
		c.add(brew.Error, in("within"), "say how long serving takes, such as serve: 10 s", "within without serve")
	}
}

// quiet checks the steps during which nothing is said.
func (c *checker) quiet(i int) {
	in := brew.Place{Part: InBrews, Index: i, Key: "quiet"}
	seen := map[int]bool{}
	for _, name := range c.Brews[i].Quiet {
		cue, err := c.cue(i, name)
		switch {
		case err != nil:
			c.add(brew.Error, in, c.steps(i, false), "%s", err)
		case seen[cue]:
			c.add(brew.Error, in, "keep one of them", "quiet names %q twice", c.plans[i].Cues[cue].Name)
		}
		seen[cue] = true
	}
}

// recipe fills in the recipe and the plan of a brew, and reports whether they
// are sound.
func (c *checker) recipe(i int, find Find) bool {
	b := c.Brews[i]
	fail := func(key, hint, format string, args ...any) bool {
		c.add(brew.Error, brew.Place{Part: InBrews, Index: i, Key: key}, hint, format, args...)
		return false
	}
	r, err := find(b.Recipe)
	if err != nil {
		return fail("recipe", advice(err), "%s", err)
	}
	if b.Dose > 0 {
		if r, err = r.Scale(b.Dose, c.Bar); err != nil {
			return fail("dose", "give another dose, or leave it out", "%s", strings.TrimPrefix(err.Error(), "dose: "))
		}
	}
	plan, err := brew.NewPlan(r, c.Bar)
	if err != nil {
		return fail("recipe", "barline check says what is wrong with it", "recipe %q has faults", b.Recipe)
	}
	c.Recipes[i], c.plans[i] = r, plan
	return true
}

// advice returns what an error of Find says that is to be done about it.
func advice(err error) string {
	var advised interface{ Advice() string }
	if errors.As(err, &advised) && advised.Advice() != "" {
		return advised.Advice()
	}
	return "barline recipes lists what is at hand, barline check says what is wrong with one"
}

// whole checks a moment on the clock.
func (c *checker) whole(p brew.Place, moment *time.Duration) {
	switch {
	case moment == nil:
	case *moment%time.Second != 0:
		c.add(brew.Error, p, "round it", "%s is no whole second, which is as fine as a routine is planned", clock(*moment))
	case *moment > c.Limit && c.Limit > 0:
		c.add(brew.Error, p, "give a moment of the clock within the limit", "%s is past the limit, %s", clock(*moment), clock(c.Limit))
	}
}

// cue returns which cue of a brew goes by a name.
func (c *checker) cue(i int, name string) (int, error) {
	if c.plans[i] == nil {
		return 0, nil
	}
	return findCue(c.plans[i], name, c.Brews[i].ID)
}

// findCue returns the cue whose name or key is meant.
func findCue(p *brew.Plan, name, id string) (int, error) {
	for _, of := range []func(brew.Cue) string{func(c brew.Cue) string { return c.Name }, func(c brew.Cue) string { return c.Key }} {
		if n := slices.IndexFunc(p.Cues, func(c brew.Cue) bool { return strings.EqualFold(of(c), name) }); n >= 0 {
			return n, nil
		}
	}
	return 0, fmt.Errorf("%s has no step %q", id, name)
}

// steps hints at the steps of a brew, with its serving where that can be meant.
func (c *checker) steps(i int, serving bool) string {
	var names []string
	for _, cue := range c.plans[i].Cues {
		names = append(names, cue.Name)
	}
	if serving && c.Brews[i].Serve > 0 {
		names = append(names, Serving)
	}
	return "its steps are " + strings.Join(names, ", ")
}

// setup checks that what is prepared ahead fits into the set-up time.
func (c *checker) setup() {
	var sum time.Duration
	for i, b := range c.Brews {
		if b.Ready && c.plans[i] != nil {
			sum += chores(c.plans[i])
		}
	}
	if c.Setup > 0 && sum > c.Setup {
		c.add(brew.Error, at("setup"), "prepare a brew on the clock, or less of it", "preparing in set-up time takes %s, but there are %s", brew.Spoken(sum), brew.Spoken(c.Setup))
	}
}

func (c *checker) sections() {
	if len(c.Sections) == 0 {
		c.add(brew.Error, at("sections"), "begin with - name: Welcome and its parts", "no sections")
	}
	for i, s := range c.Sections {
		in := func(key string) brew.Place { return brew.Place{Part: InSections, Index: i, Key: key} }
		if first := slices.IndexFunc(c.Sections, func(o Section) bool { return strings.EqualFold(o.Name, s.Name) }); first < i {
			c.add(brew.Error, in("name"), "give each section a name of its own", "name %q is that of section %d too", s.Name, first+1)
		}
		if n := utf8.RuneCountInString(s.Name); n == 0 || n > brew.LongestName {
			c.add(brew.Error, in("name"), "", "name has %d characters, not 1 to %d", n, brew.LongestName)
		}
		if len(s.Parts) == 0 {
			c.add(brew.Error, in("parts"), "a section without words is a part such as {pause: 20 s}", "a section without parts")
		}
	}
}

func (c *checker) parts() {
	parts, _ := c.Routine.Parts()
	if n := len(parts); n > MostParts {
		c.add(brew.Error, at("sections"), "make one part of several", "%d parts, more than %d", n, MostParts)
	}
	var sum time.Duration
	paced := false
	for i, p := range parts {
		c.part(i, p)
		sum += c.Length(p)
		paced = paced || p.Over == 0
	}
	if paced && c.Pace == 0 {
		c.add(brew.Warning, at("sections"), "add pace: and how many words you say in a minute", "parts without a length are taken at %d words a minute, which is assumed", UsualPace)
	}
	if sum > c.Limit && c.Limit > 0 {
		c.add(brew.Warning, at("sections"), "say less", "the parts take %s one after the other, more than the limit, %s", clock(sum), clock(c.Limit))
	}
}

func (c *checker) part(i int, p Part) {
	in := func(key string) brew.Place { return brew.Place{Part: InParts, Index: i, Key: key} }
	if p.Say == "" && p.Over == 0 {
		c.add(brew.Error, in(""), "write {say: and what is said}, or {pause: 20 s}", "a part with no words and no length")
	}
	if n := utf8.RuneCountInString(p.Say); n > LongestWords {
		c.add(brew.Error, in("say"), "make two parts of it", "words of %d characters, more than %d", n, LongestWords)
	}
	c.whole(in("at"), p.At)
	if p.At != nil && p.During != nil {
		c.add(brew.Error, in("during"), "keep one of them", "a part begins either at a time or with a step, not both")
	}
	c.tie(in("during"), p.During)
	c.tie(in("after"), p.After)
	c.tie(in("before"), p.Before)
	c.spoken(i, p)
}

// spoken warns of words that do not go with their length or their step.
func (c *checker) spoken(i int, p Part) {
	in := func(key string) brew.Place { return brew.Place{Part: InParts, Index: i, Key: key} }
	if n := Words(p.Say); p.Over > 0 && n > 0 {
		if rate := float64(n) / p.Over.Minutes(); rate > MostPace {
			c.add(brew.Warning, in("over"), "give it more time, or fewer words", "%d words in %s are %.0f a minute", n, brew.Spoken(p.Over), rate)
		}
	}
	if p.During == nil {
		return
	}
	if step, known := c.stepLength(*p.During); known && c.Length(p) > step {
		c.add(brew.Warning, in("during"), "say less of it then", "%s takes %s, what is said during it %s", p.During.Step, brew.Spoken(step), brew.Spoken(c.Length(p)))
	}
}

func (c *checker) stepLength(r Ref) (time.Duration, bool) {
	i := c.brewOf(r.Brew)
	if i < 0 || c.plans[i] == nil {
		return 0, false
	}
	if strings.EqualFold(r.Step, Serving) {
		return c.Brews[i].Serve, c.Brews[i].Serve > 0
	}
	n, err := c.cue(i, r.Step)
	if err != nil {
		return 0, false
	}
	return c.plans[i].Cues[n].Length(), true
}

// brewOf returns which brew has an id, -1 for none.
func (r Routine) brewOf(id string) int {
	return slices.IndexFunc(r.Brews, func(b Brew) bool { return b.ID == id })
}

// tie checks that a reference names a step.
func (c *checker) tie(p brew.Place, r *Ref) {
	if r == nil {
		return
	}
	i := c.brewOf(r.Brew)
	switch {
	case i < 0:
		var ids []string
		for _, b := range c.Brews {
			ids = append(ids, b.ID)
		}
		c.add(brew.Error, p, "its brews are "+strings.Join(ids, ", "), "no brew %q", r.Brew)
	case c.plans[i] == nil: // said already
	case strings.EqualFold(r.Step, Serving):
		if c.Brews[i].Serve == 0 {
			c.add(brew.Error, p, "say how long serving takes, such as serve: 10 s", "%s is not served", r.Brew)
		}
	default:
		if _, err := c.cue(i, r.Step); err != nil {
			c.add(brew.Error, p, c.steps(i, true), "%s", err)
		}
	}
}
