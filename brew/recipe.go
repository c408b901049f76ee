package brew

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// Celsius is a temperature in degrees Celsius.
type Celsius float64

// String returns the temperature with its unit, to a tenth where it has one.
func (c Celsius) String() string {
	return strconv.FormatFloat(math.Round(float64(c)*10)/10, 'f', -1, 64) + " °C"
}

// Above reports whether the temperature is above another as both are shown, to
// a tenth: 100 °C is not above the boil at the sea, 99.97 °C.
func (c Celsius) Above(other Celsius) bool {
	return math.Round(10*float64(c)) > math.Round(10*float64(other))
}

// OtherScale says what figure a water too hot for °C would be on the scale that
// it was perhaps read from, "" where no other scale makes brewing water of it.
func (c Celsius) OtherScale() string {
	for _, scale := range []struct {
		unit    string
		celsius Celsius
	}{{"°F", (c - 32) / 1.8}, {"K", c - 273.15}} {
		if c > MostTemperature && scale.celsius >= 50 && scale.celsius <= 100 {
			return fmt.Sprintf("%s %s would be %s", strings.TrimSuffix(c.String(), " °C"), scale.unit, scale.celsius)
		}
	}
	return ""
}

// Percent is a share in hundredths, as strength and extraction are given.
type Percent float64

// Method is the way of brewing.
type Method string

// The methods a recipe may name.
const (
	PressMethod   Method = "press"
	InvertedPress Method = "inverted press"
	Cone          Method = "cone"
	FlatBed       Method = "flat bed"
	Pot           Method = "pot"
	Cupping       Method = "cupping"
	OtherMethod   Method = "other"
)

// Methods returns every method in the order of the documentation.
func Methods() []Method {
	return []Method{PressMethod, InvertedPress, Cone, FlatBed, Pot, Cupping, OtherMethod}
}

// Drains reports whether the liquid runs off while water is still poured, so
// that the chamber never holds all of it.
func (m Method) Drains() bool { return m == Cone || m == FlatBed }

// Server is the vessel that the coffee runs into.
type Server string

// The servers a recipe may name; the zero Server is unknown.
const (
	Steel      Server = "steel"
	ThickGlass Server = "thick glass"
	ThinGlass  Server = "thin glass"
	Ceramic    Server = "ceramic"
)

// Servers returns every server in the order of the documentation.
func Servers() []Server { return []Server{Steel, ThickGlass, ThinGlass, Ceramic} }

// Recipe is what to brew and how, as its writer put it: what was left out is
// zero here, and the plan fills it in.
type Recipe struct {
	Name        string
	Method      Method
	Coffee      string // in the writer's words; may be empty
	Lot         string
	Roasted     string
	Setting     string // of the grinder
	Cups        int    // 0 where left out
	Dose        Mass
	Water       Mass // all that touches the coffee
	Temperature Celsius
	Grind       string
	Capacity    Mass    // water and coffee together; 0 where unknown
	Server      Server  // "" where unknown
	Window      *Window // of every beat whose step says nothing; nil where left out
	Prepare     []Chore
	Steps       []Step
	Afterwards  []Chore
	Aim         Aim

	version string // of the recipe this one was scaled from; "" where it was not
}

// Aim is the cup the recipe is written for; a zero field is no aim.
type Aim struct {
	Strength   Percent
	Extraction Percent
}

// Window is how early and how late a beat may be and still be on time. Both
// are at least zero, and both edges are on time.
type Window struct {
	Early time.Duration
	Late  time.Duration
}

// Holds reports whether a beat that is off by d, late being positive, is on
// time.
func (w Window) Holds(d time.Duration) bool { return -w.Early <= d && d <= w.Late }

// narrowest returns the window that satisfies both.
func (w Window) narrowest(o Window) Window {
	return Window{Early: min(w.Early, o.Early), Late: min(w.Late, o.Late)}
}

// Chore is one thing to do before the clock starts or after it has stopped.
type Chore struct {
	Do    string
	Over  time.Duration // 0 where left out
	Float time.Duration `json:",omitempty"` // how far from the brew it may be done; 0 where left out
	Uses  Uses          `json:",omitempty"` // "" where left out
}

// Uses says what a chore needs, for a bar that plans several brews.
type Uses string

// What a chore may need; the zero Uses is the hands.
const (
	UsesHands   Uses = "hands"
	UsesKettle  Uses = "kettle"
	UsesBoth    Uses = "hands and kettle"
	UsesNothing Uses = "nothing"
)

// AllUses returns every Uses in the order of the documentation.
func AllUses() []Uses { return []Uses{UsesHands, UsesKettle, UsesBoth, UsesNothing} }

// Anchor says what a step's start hangs on.
type Anchor string

// A step hangs directly behind the one before, or some time behind it, or is
// pinned to the lane's clock.
const (
	Directly Anchor = ""
	After    Anchor = "after"
	At       Anchor = "at"
)

// Step is one line of a recipe's method: one action.
type Step struct {
	Action  Action
	Text    string // what follows the action's verb; may be empty
	Amount  Mass   // of a pour or a bypass
	To      bool   // the amount is what the scale reads when the pour ends
	Anchor  Anchor
	Offset  time.Duration // of an Anchor other than Directly
	Over    time.Duration // 0 where left out
	Label   string
	Why     string
	Caution string
	Start   *Window // nil where left out
	End     *Window // nil where left out
	Hands   Hands   // "" where left out
	Mark    Marks   // "" where left out
	ID      string

	held time.Duration // the length assumed for the dose this step was scaled from; 0 where it was not
}

// Bar is what the checks and the plan must know of the place.
type Bar struct {
	Boils  Celsius       // water's boiling point at the bar; 0 is taken as 100 °C
	Window time.Duration // early and late where a recipe gives no window; 0 is taken as 3 s
}

// DefaultWindow is the window of a beat where neither step, recipe nor bar
// gives one; common practice, no source.
const DefaultWindow = 3 * time.Second

func (b Bar) boils() Celsius {
	if b.Boils == 0 {
		return 100
	}
	return b.Boils
}

func (b Bar) window() Window {
	if b.Window == 0 {
		return Window{DefaultWindow, DefaultWindow}
	}
	return Window{b.Window, b.Window}
}

// Fill puts the recipe's figures into a text: {dose} and {water} become its
// masses with their unit.
func (r Recipe) Fill(text string) string {
	if !strings.Contains(text, "{") {
		return text
	}
	text = strings.ReplaceAll(text, "{dose}", r.Dose.String())
	return strings.ReplaceAll(text, "{water}", r.Water.String())
}

// Ratio returns the grams of water on each gram of coffee, without and with
// the bypass.
func (r Recipe) Ratio() (brewed, total float64) {
	if r.Dose == 0 {
		return 0, 0
	}
	return float64(r.Water) / float64(r.Dose), float64(r.Water+r.BypassWater()) / float64(r.Dose)
}

// BypassWater returns the water that goes into the server without touching
// the coffee.
func (r Recipe) BypassWater() Mass {
	var sum Mass
	for _, s := range r.Steps {
		if s.Action == Bypass {
			sum += s.Amount
		}
	}
	return sum
}

// usual returns what the step's action means by itself; an unknown action
// means nothing.
func (s Step) usual() Usual {
	u, _ := s.Action.Usual()
	return u
}

// hands returns whether the step is busy or free.
func (s Step) hands() Hands {
	if s.Hands != "" {
		return s.Hands
	}
	return s.usual().Hands
}

// asks reports whether the given edge of the step is asked.
func (s Step) asks(e Edge) bool {
	m := s.Mark
	if m == "" {
		m = s.usual().Asked
	}
	return m == MarkBoth || m == Marks(e)
}

// prompt returns what the person is told to do, filled in.
func (r Recipe) prompt(s Step, length time.Duration) string {
	verb, text := s.usual().Verb, strings.TrimSpace(r.Fill(s.Text))
	switch s.Action {
	case Pour:
		if s.To {
			return "Pour to " + s.Amount.String()
		}
		return "Pour " + s.Amount.String()
	case Bypass:
		return "Bypass " + s.Amount.String()
	case Wait:
		return "Wait " + Spoken(length)
	case Do:
		return text
	case Seal, Open, Serve, Taste, Drawdown:
		if text != "" {
			return verb + ": " + text
		}
	}
	if text == "" {
		return verb
	}
	return verb + " " + text
}
