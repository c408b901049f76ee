package brew

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// Ranges outside of which a figure is a slip of the pen, not a recipe.
const (
	LeastDose       = 1 * Gram
	MostDose        = 2 * Kilogram
	LeastWater      = 1 * Gram
	MostWater       = 40 * Kilogram
	MostTemperature = Celsius(110)
	MostStrength    = Percent(30)
	MostExtraction  = Percent(40)
	MostLength      = 24 * time.Hour
	MostSteps       = 200
	LongestPrompt   = 40 // in characters: what one line of a small screen holds
	LongestName     = 60 // in characters
	LongestText     = 200
)

// What a recipe is warned for; common practice, no source.
const (
	LeastFlow  = 2.0 // grams a second
	MostFlow   = 15.0
	LeastRatio = 12.0 // grams of water on a gram of coffee
	MostRatio  = 18.0
)

// Check returns what is wrong with the recipe or unwise at the bar, in the
// order of the recipe: first its own keys, then its lists, line by line. A
// recipe without errors can be planned.
func Check(r Recipe, bar Bar) Faults { return check(r, bar).faults }

// checker goes through a recipe once. What it had to work out is kept for the
// plan.
type checker struct {
	recipe  Recipe
	bar     Bar
	laid    []laid
	names   []stepName
	prompts []string
	faults  Faults
}

func check(r Recipe, bar Bar) *checker {
	c := &checker{recipe: r, bar: bar, laid: lay(r), names: nameSteps(r.Steps), prompts: make([]string, len(r.Steps))}
	c.figures()
	c.words()
	c.chores(InPrepare, r.Prepare)
	for i := range r.Steps {
		c.step(i)
	}
	c.chores(InAfterwards, r.Afterwards)
	return c
}

func (c *checker) add(s Severity, p Place, hint, format string, args ...any) {
	c.faults = append(c.faults, Fault{s, p, fmt.Sprintf(format, args...), hint})
}

// figures checks the recipe's own quantities. A figure on the edge of its
// range is in order.
func (c *checker) figures() {
	r := c.recipe
	at := func(key string) Place { return Place{Key: key} }
	if r.Dose < LeastDose || r.Dose > MostDose {
		c.add(Error, at("dose"), "", "dose %s is outside %s to %s", r.Dose, LeastDose, MostDose)
	}
	if r.Water < LeastWater || r.Water > MostWater {
		c.add(Error, at("water"), "", "water %s is outside %s to %s", r.Water, LeastWater, MostWater)
	}
	c.total()
	c.ratio()
	c.temperature()
	if held := r.Dose + r.Water; r.Capacity > 0 && !r.Method.Drains() && held > r.Capacity {
		c.add(Error, at("capacity"), "lower dose and water, or brew in something larger",
			"%s of water on %s of coffee is %s, but the chamber holds %s", r.Water, r.Dose, held, r.Capacity)
	}
	c.window(at("window"), r.Window)
	c.aim("strength", "1.35 %", r.Aim.Strength, MostStrength)
	c.aim("extraction", "20 %", r.Aim.Extraction, MostExtraction)
}

// total checks that there are steps and that the pours make up the water.
func (c *checker) total() {
	r, n := c.recipe, len(c.recipe.Steps)
	if n == 0 || n > MostSteps {
		says := "no steps"
		if n > 0 {
			says = fmt.Sprintf("%d steps, more than %d", n, MostSteps)
		}
		c.add(Error, Place{Key: "steps"}, "", "%s", says)
	}
	if n == 0 {
		return
	}
	if poured := c.laid[n-1].water; poured != r.Water {
		c.add(Error, Place{Key: "water"}, "make the pours add up to water; 'to' is what the scale reads since the last tare",
			"the pours add up to %s, but water is %s", poured, r.Water)
	}
}

// ratio warns of a cup that few would drink. A bypass is there to dilute a
// strong one, so with one any ratio may be meant.
func (c *checker) ratio() {
	ratio, _ := c.recipe.Ratio()
	if c.recipe.BypassWater() > 0 || ratio <= 0 || LeastRatio <= ratio && ratio <= MostRatio {
		return
	}
	c.add(Warning, Place{Key: "water"}, "check dose and water, or dilute with a bypass step",
		"ratio 1:%s is outside the usual 1:%g to 1:%g", outside(ratio, LeastRatio, MostRatio), LeastRatio, MostRatio)
}

// outside returns a figure that lies outside a range to one decimal, or to as
// many as it takes to be outside it still.
func outside(figure, least, most float64) string {
	for decimals := 1; ; decimals++ {
		text := strconv.FormatFloat(figure, 'f', decimals, 64)
		shown, _ := strconv.ParseFloat(text, 64)
		if shown < least || shown > most || shown == figure {
			return text
		}
	}
}

// temperature warns where the bar lies too high for what is asked: the recipe
// is in order, but not here.
func (c *checker) temperature() {
	t, boils := c.recipe.Temperature, c.bar.boils()
	switch {
	case !(0 < t && t <= MostTemperature): // so that what is no number fails too
		c.add(Error, Place{Key: "temperature"}, t.OtherScale(), "temperature %s is outside 0 °C to %s", t, MostTemperature)
	case t.Above(boils):
		c.add(Warning, Place{Key: "temperature"}, "ask for "+boils.String()+" or less",
			"temperature %s is hotter than water boils here, %s", t, boils)
	}
}

// aim checks a share that may be left out, which is zero.
func (c *checker) aim(name, example string, share, most Percent) {
	if !(0 <= share && share <= most) {
		c.add(Error, Place{Key: "aim"}, name+" is a percentage such as "+example, "%s %g %% is outside 0 %% to %g %%", name, float64(share), float64(most))
	}
}

// window checks a window, which may have been left out.
func (c *checker) window(p Place, w *Window) {
	if w != nil {
		c.length(p, w.Early)
		c.length(p, w.Late)
	}
}

// words checks the recipe's own texts.
func (c *checker) words() {
	r := c.recipe
	if n := utf8.RuneCountInString(r.Name); n == 0 || n > LongestName {
		c.add(Error, Place{Key: "name"}, "", "name has %d characters, not 1 to %d", n, LongestName)
	}
	for _, t := range [...]struct{ key, text string }{
		{"coffee", r.Coffee}, {"lot", r.Lot}, {"roasted", r.Roasted}, {"setting", r.Setting}, {"grind", r.Grind},
	} {
		c.text(Place{Key: t.key}, t.text)
	}
}

// chores checks what is done before the water and after the brew.
func (c *checker) chores(part Part, chores []Chore) {
	for i, chore := range chores {
		p := Place{part, i, "do"}
		if chore.Do == "" {
			c.add(Error, p, "", "nothing to do")
		}
		c.text(p, chore.Do)
		c.length(Place{part, i, "over"}, chore.Over)
		c.length(Place{part, i, "float"}, chore.Float)
	}
}

// text checks a text's length and the figures it asks to be filled in.
func (c *checker) text(p Place, text string) {
	if n := utf8.RuneCountInString(text); n > LongestText {
		c.add(Error, p, "say it shorter", "text has %d characters, more than %d", n, LongestText)
	}
	for rest := text; ; {
		_, behind, found := strings.Cut(rest, "{")
		end := strings.IndexAny(behind, "{}")
		if !found || end < 0 {
			return
		}
		if name := behind[:end]; behind[end] == '}' && name != "dose" && name != "water" {
			c.add(Error, p, "use {dose} or {water}", "unknown figure %q", "{"+name+"}")
		}
		rest = behind[end:]
	}
}

// length checks a length of time or a moment, which may be left out.
func (c *checker) length(p Place, d time.Duration) {
	if d < 0 || d > MostLength {
		c.add(Error, p, "", "%s is outside 0 s to %d h", Spoken(d), int(MostLength/time.Hour))
	}
}
