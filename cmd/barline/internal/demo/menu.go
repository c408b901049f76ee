package demo

import (
	"fmt"
	"io/fs"

	"barline/brew"
	"barline/recipes"
)

// dish is a recipe of the bar's, in one version or two.
type dish struct {
	stem     string // of the shipped recipe
	often    int    // how often it is ordered, against the others
	coffee   string
	letter   string // of its lots: A1, A2
	setting  string // of the grinder
	versions []version
	lots     map[string]float64 // of each lot met so far, by how much it brews stronger, in %
}

// version is a recipe as it was from a week on.
type version struct {
	from int
	plan *brew.Plan
	text string
}

// The stems of the shipped recipes that the bar brews.
const (
	Cone    = "quayside-cone"
	Press   = "quayside-press"
	FlatBed = "quayside-flat-bed"
	Quick   = "quayside-quick"
)

// newMenu returns the bar's recipes. In its press the end of the stir is marked
// as well, and the start of pressing is not: it is so near behind that the mark
// of a late stir would be taken for it. The flat bed had a shorter bloom at
// first, and is the shipped one now.
func newMenu() ([]dish, error) {
	menu := []dish{
		{stem: Cone, often: 7, coffee: "washed, light", letter: "A", setting: "22 clicks"},
		{stem: Press, often: 5, coffee: "washed, medium-light", letter: "B", setting: "17 clicks"},
		{stem: FlatBed, often: 4, coffee: "natural, medium", letter: "C", setting: "26 clicks"},
		{stem: Quick, often: 3, coffee: "washed, medium", letter: "B", setting: "14 clicks"},
	}
	edits := map[string][][]edit{
		Cone:    {{}},
		Press:   {{{step(6), "mark", "end"}, {step(7), "over", "8 s"}, {step(8), "mark", "end"}, {step(8), "window", "-2 s +4 s"}}},
		FlatBed: {{{step(2), "at", "0:35"}, {step(3), "at", "1:15"}, {step(4), "at", "1:55"}}, {}},
		Quick:   {{}},
	}
	for i := range menu {
		d := &menu[i]
		d.lots = map[string]float64{}
		for n, changes := range edits[d.stem] {
			v, err := edited(d.stem, changes)
			if err != nil {
				return nil, about(d.stem, err)
			}
			v.from = n * newVersionWeek
			d.versions = append(d.versions, v)
		}
	}
	return menu, nil
}

// edit is a change of a recipe's file.
type edit struct {
	entry brew.Place
	key   string
	value string
}

func step(i int) brew.Place { return brew.Place{Part: brew.InSteps, Index: i} }

// edited returns a shipped recipe with changes. Its plan is that of a bar at
// sea level, whatever the configuration says of the user's own.
func edited(stem string, changes []edit) (version, error) {
	text, err := fs.ReadFile(recipes.Shipped(), stem+".yaml")
	if err != nil {
		return version{}, err
	}
	doc, faults := recipes.Parse(stem+".yaml", text)
	if err := faults.Err(); err != nil {
		return version{}, err
	}
	for _, c := range changes {
		c.entry.Key = c.key
		if doc, err = doc.Set(c.entry, c.value); err != nil {
			return version{}, err
		}
	}
	plan, err := brew.NewPlan(doc.Recipe(), brew.Bar{})
	return version{plan: plan, text: string(doc.Text())}, err
}

// version returns the recipe as it is in a week.
func (d *dish) version(week int) version {
	out := d.versions[0]
	for _, v := range d.versions {
		if v.from <= week {
			out = v
		}
	}
	return out
}

// newest returns the recipe as it is at last.
func (d *dish) newest() version { return d.versions[len(d.versions)-1] }

// Recipe returns the name of a recipe of the bar's by its stem. It panics on
// another stem.
func Recipe(stem string) string {
	menu, err := newMenu()
	if err != nil {
		panic(err)
	}
	for _, d := range menu {
		if d.stem == stem {
			return d.newest().plan.Name
		}
	}
	panic(fmt.Sprintf("the bar does not brew %q", stem))
}

// pick draws what is ordered.
func (y *year) pick() *dish {
	all := 0
	for _, d := range y.menu {
		all += d.often
	}
	n := y.draw.IntN(all)
	for i := range y.menu {
		if n -= y.menu[i].often; n < 0 {
			return &y.menu[i]
		}
	}
	return nil // never: n was less than all
}

// lot returns what coffee of a dish is brewed: another lot each month.
func (y *year) lot(o order) string {
	months := (o.start.Year()-y.first.Year())*12 + int(o.start.Month()-y.first.Month())
	return fmt.Sprintf("%s%d", o.dish.letter, months+1)
}
