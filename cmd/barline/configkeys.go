package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/cup"
	"barline/recipes"
	"barline/tui/draw"
	"barline/tui/live"
	"barline/tui/rehearsal"
	"barline/tui/service"

	"github.com/charmbracelet/bubbles/key"
)

// text returns what takes a text as it stands.
func text(at func(*config) *string) func(*config, string) error {
	return func(c *config, text string) error {
		*at(c) = text
		return plainText(text)
	}
}

// plainText returns the error for a text that would steer a terminal or break
// a line wherever it is said.
func plainText(text string) error {
	if draw.OneLine(text) == text {
		return nil
	}
	return &recipes.Wrong{Message: fmt.Sprintf("%q holds a control character", text), Hint: "leave it out"}
}

// check returns the error for a flag whose text would do so.
func (f *brewFlags) check() error {
	for _, flag := range []struct{ name, text string }{{"by", f.by}, {"coffee", f.coffee}, {"lot", f.lot}, {"setting", f.setting}} {
		if err := plainText(flag.text); err != nil {
			return fmt.Errorf("--%s %w", flag.name, err)
		}
	}
	return nil
}

// choice returns the error for a word that is none of a few.
func choice(text string, words ...string) error {
	if slices.Contains(words, text) {
		return nil
	}
	last := len(words) - 1
	return &recipes.Wrong{Message: fmt.Sprintf("%q is unknown, wanted %s or %s", text, strings.Join(words[:last], ", "), words[last]), Hint: "write " + words[0]}
}

func readKettle(c *config, text string) error {
	t, err := kettleAt(text)
	c.kettle = &t
	return err
}

// kettleAt reads a temperature that a kettle can be set to.
func kettleAt(text string) (brew.Celsius, error) {
	t, err := recipes.ReadCelsius(text)
	if err == nil && (t < 0 || t > 110) {
		err = &recipes.Wrong{Message: fmt.Sprintf("%q is none that a kettle is set to", text), Hint: "write such as 96 °C"}
	}
	return t, err
}

func readMarks(c *config, text string) error {
	c.marks = brew.Policy(text)
	return choice(text, string(brew.MarksAsked), string(brew.MarksAll), string(brew.MarksNone))
}

func readTheme(c *config, text string) error {
	c.theme = text
	return choice(text, themes...)
}

func readBell(c *config, text string) error {
	c.bell = text
	return choice(text, onOff...)
}

func readClock(c *config, text string) error {
	c.twelve = text == "12 h"
	return choice(text, "24 h", "12 h")
}

// readSpan reads a length of time that must not be longer than most.
func readSpan(text string, most time.Duration) (time.Duration, error) {
	d, err := recipes.ReadLength(text)
	if err == nil && d > most {
		err = &recipes.Wrong{Message: fmt.Sprintf("%q is longer than %s", text, brew.Spoken(most)), Hint: "give " + brew.Spoken(most) + " or less"}
	}
	return d, err
}

func readAhead(c *config, text string) error {
	d, err := readSpan(text, time.Minute)
	c.ahead = &d
	return err
}

func readCountIn(c *config, text string) (err error) {
	c.countIn, err = readSpan(text, time.Minute)
	return err
}

func readDefaultWindow(c *config, text string) (err error) {
	if c.window, err = readSpan(text, time.Minute); err == nil && c.window == 0 {
		err = &recipes.Wrong{Message: "of nothing leaves no beat on time", Hint: "give 1 s or more"}
	}
	return err
}

// keyNames are the names of keys that the terminal library calls otherwise.
var keyNames = map[string]string{"space": " ", "page-down": "pgdown", "page-up": "pgup"}

// readKeys reads the keys that mark. A key that does something else where there
// are marks to make is refused; but a lane's digit may mark, for foot switches
// send digits: it is the mark key then.
func readKeys(c *config, text string) error {
	taken := otherKeys()
	for _, name := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' }) {
		k := name
		if known, ok := keyNames[name]; ok {
			k = known
		}
		switch {
		case taken[k] != "":
			return &recipes.Wrong{Message: fmt.Sprintf("%q is the key for %q already", name, taken[k]), Hint: "choose another key"}
		case !isKey(k):
			return &recipes.Wrong{Message: fmt.Sprintf("%q is no key", name), Hint: "write such as space, enter, page-down, f5, 1 or o"}
		case !slices.Contains(c.keys, k):
			c.keys = append(c.keys, k)
		}
	}
	if len(c.keys) == 0 {
		return &recipes.Wrong{Message: fmt.Sprintf("%q names no key", text), Hint: "write such as space, enter, page-down, f5, 1 or o"}
	}
	return nil
}

// otherKeys returns what each key does beside marking, on the live page and in
// its debrief, in a service and in a rehearsal.
func otherKeys() map[string]string {
	others, round, take := live.DefaultKeys(), service.DefaultKeys(), rehearsal.DefaultKeys()
	others.Mark, round.Mark, take.Mark, round.Lane = key.NewBinding(), key.NewBinding(), key.NewBinding(), key.NewBinding()
	out := map[string]string{}
	for _, b := range slices.Concat(
		others.Brewing(), others.Stopping(), others.Preparing(true), others.Reviewing(),
		round.Serving(), round.Counting(), round.Sure(), take.Running(), take.Stopping(), take.Over(),
	) {
		for _, k := range b.Keys() {
			if out[k] == "" {
				out[k] = b.Help().Desc
			}
		}
	}
	return out
}

// isKey reports whether a name is one that the terminal library gives a key
// which a foot switch or a keyboard can send.
func isKey(k string) bool {
	if slices.Contains([]string{" ", "enter", "pgdown", "pgup", "tab", "home", "end", "insert", "delete", "up", "down", "left", "right"}, k) {
		return true
	}
	for n := range 20 {
		if k == fmt.Sprintf("f%d", n+1) {
			return true
		}
	}
	return len([]rune(k)) == 1 && k > " " && draw.Width(k) > 0
}

// markKeys returns the live page's keys with the mark keys that are set.
func (c config) markKeys() live.KeyMap {
	keys := live.DefaultKeys()
	if len(c.keys) == 0 {
		return keys
	}
	name := c.keys[0]
	for written, k := range keyNames {
		if k == name {
			name = written
		}
	}
	keys.Mark = key.NewBinding(key.WithKeys(c.keys...), key.WithHelp(name, keys.Mark.Help().Desc))
	return keys
}

func readAltitude(c *config, text string) error {
	m, err := recipes.ReadHeight(text)
	if err != nil {
		return err
	}
	pressure, err := cup.PressureAt(m)
	if err != nil {
		return &recipes.Wrong{Message: fmt.Sprintf("%q: %s", text, err)}
	}
	return c.boilAt(text, pressure)
}

// lowestBar and highestBar are altitudes, in metres, between which people brew:
// from the shore of a salt lake to the highest camps. Their pressures are those
// of ISO 2533.
const lowestBar, highestBar = -500, 9000

func readPressure(c *config, text string) error {
	pascal, err := recipes.ReadPressure(text)
	if err != nil {
		return err
	}
	least, _ := cup.PressureAt(highestBar)
	most, _ := cup.PressureAt(lowestBar)
	if pascal < least || pascal > most {
		return &recipes.Wrong{Message: fmt.Sprintf("%q is no pressure of the air at a bar, which is %.0f to %.0f hPa", text, math.Ceil(least/100), math.Floor(most/100)), Hint: "write such as 990 hPa"}
	}
	return c.boilAt(text, pascal)
}

func (c *config) boilAt(text string, pascal float64) error {
	t, err := cup.Boils(pascal)
	if err != nil {
		return &recipes.Wrong{Message: fmt.Sprintf("%q: %s", text, err)}
	}
	if c.boils != 0 {
		return &recipes.Wrong{Message: "says again where water boils", Hint: "keep altitude or pressure"}
	}
	c.boils = t
	return nil
}
