package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"barline/brew"
)

// filed is a recipe of a file.
const filed = `name: A filed cup
method: cone
dose: 3 g
water: 40 g
temperature: 93 °C
grind: medium
steps:
  - {pour: to 40 g, over: 2 s, label: fill}
  - {drawdown: let it drain, over: 2 s}
`

// The menu is the files as they are: the same recipes while nothing is edited,
// a new one where a file is, and the old one while the file is at fault.
func TestAnEditedRecipeIsOnTheMenu(t *testing.T) {
	b := newBench(t)
	path := filepath.Join(t.TempDir(), "fast.yaml")
	write := func(text string) { must(t, os.WriteFile(path, []byte(text), 0o644)) }
	write(filed)
	c, err := b.app.card([]string{path, "quayside-press"}, brew.MarksAll)
	must(t, err)
	first := slices.Clone(c.plans)
	if got := c.fresh(); !slices.Equal(got, first) {
		t.Error("what was not edited is another recipe")
	}
	write(strings.Replace(filed, "dose: 3 g", "dose: 2.5 g", 1))
	edited := c.fresh()
	if edited[0] == first[0] || edited[1] != first[1] || edited[0].Dose != 2500*brew.Milligram || string(c.texts[edited[0]]) == filed {
		t.Errorf("edited: %v, the other %v", edited[0].Dose, edited[1] == first[1])
	}
	write("name: broken")
	if got := c.fresh(); !slices.Equal(got, edited) {
		t.Error("a file at fault took the place of a recipe")
	}
	write(filed)
	if got := c.fresh(); got[0] != first[0] {
		t.Error("put back as it was it is another recipe")
	}
	for n, beat := range first[1].Beats {
		if n > 0 && !beat.Asked {
			t.Errorf("%s is not asked, though all are to be", beat.Name)
		}
	}
}

// A dose is scaled from the file, and what cannot be is told.
func TestAnotherDoseFromTheNextBrewOn(t *testing.T) {
	b := newBench(t)
	c, err := b.app.card([]string{"quayside-press"}, brew.MarksAsked)
	must(t, err)
	scaled, err := c.scale(c.plans[0], "15 g")
	must(t, err)
	if scaled.Dose != 15*brew.Gram || scaled.Version != c.plans[0].Version || len(c.texts[scaled]) == 0 {
		t.Errorf("%v of version %s", scaled.Dose, scaled.Version)
	}
	for dose, want := range map[string]string{"a lot": "a lot", "900": "the chamber holds", "100": ""} {
		if _, err := c.scale(c.plans[0], dose); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", dose, err)
		}
	}
	if b.stderr.Len() > 0 {
		t.Errorf("the screen is written over: %s", b.stderr)
	}
}

// Without names the shelf's recipes are the menu, as many as there are digits.
func TestTheShelfIsTheMenu(t *testing.T) {
	b := newBench(t)
	c, err := b.app.card(nil, brew.MarksAsked)
	if err != nil || len(c.plans) != mostDishes {
		t.Errorf("%d recipes, %v", len(c.plans), err)
	}
	if _, err := b.app.card(make([]string, mostDishes+1), brew.MarksAsked); err == nil {
		t.Error("a tenth recipe has no digit")
	}
}
