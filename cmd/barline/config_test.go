package main

import (
	"strings"
	"testing"
	"time"

	"barline/brew"
)

// configured returns a configuration of lines.
func configured(t *testing.T, lines ...string) (config, string) {
	t.Helper()
	var c config
	faults := c.read("config.yaml", []byte(strings.Join(lines, "\n")+"\n"))
	return c, faults.Text()
}

// What barline config writes changes nothing, and each of its lines can be
// taken as it stands.
func TestEveryLineOfTheWrittenConfigurationIsSound(t *testing.T) {
	if c, faults := configured(t, written()); faults != "" || c.by != "" || c.keys != nil {
		t.Errorf("as written: %+v %s", c, faults)
	}
	set := 0
	for _, line := range strings.Split(written(), "\n") {
		line = strings.TrimPrefix(line, "# ")
		name, _, found := strings.Cut(line, ": ")
		for _, k := range configKeys {
			if found && k.name == name {
				set++
				if _, faults := configured(t, line); faults != "" {
					t.Errorf("%s", faults)
				}
			}
		}
	}
	if set != len(configKeys) {
		t.Errorf("%d keys are written, want %d", set, len(configKeys))
	}
}

func TestWhatTheConfigurationSets(t *testing.T) {
	for line, holds := range map[string]func(config) bool{
		"by: Bo":                    func(c config) bool { return c.by == "Bo" },
		"coffee: washed":            func(c config) bool { return c.coffee == "washed" },
		"lot: 12":                   func(c config) bool { return c.lot == "12" },
		"setting: 22 clicks":        func(c config) bool { return c.setting == "22 clicks" },
		"kettle: 205 °F":            func(c config) bool { return *c.kettle > 96.1 && *c.kettle < 96.2 },
		"keys: page-down, f5 o":     func(c config) bool { return strings.Join(c.markKeys().Mark.Keys(), " ") == "pgdown f5 o" },
		"keys: o o":                 func(c config) bool { return strings.Join(c.markKeys().Mark.Keys(), " ") == "o" },
		"keys: page-down":           func(c config) bool { return c.markKeys().Mark.Help().Key == "page-down" },
		"marks: all":                func(c config) bool { return c.marks == brew.MarksAll },
		"theme: light":              func(c config) bool { return c.theme == "light" },
		"bell: off":                 func(c config) bool { return c.bell == "off" },
		"bell: on":                  func(c config) bool { return c.bell == "on" },
		"ahead: 0 s":                func(c config) bool { return *c.ahead == 0 },
		"ahead: 8 s":                func(c config) bool { return *c.ahead == 8*time.Second },
		"count-in: 3 s":             func(c config) bool { return c.countIn == 3*time.Second },
		"window: 5 s":               func(c config) bool { return c.window == 5*time.Second },
		"clock: 12 h":               func(c config) bool { return c.twelve },
		"altitude: 1500 m":          func(c config) bool { return c.boils > 94.9 && c.boils < 95.1 },
		"altitude: 4921 ft":         func(c config) bool { return c.boils > 94.9 && c.boils < 95.1 },
		"pressure: 845.6 hPa":       func(c config) bool { return c.boils > 94.9 && c.boils < 95.1 },
		"recipes: ~/mine":           func(c config) bool { return c.recipes == "~/mine" },
		"journal: /srv/journal.db":  func(c config) bool { return c.journal == "/srv/journal.db" },
		"# nothing at all but this": func(c config) bool { return c.by == "" },
	} {
		if c, faults := configured(t, line); faults != "" || !holds(c) {
			t.Errorf("%s: %+v %s", line, c, faults)
		}
	}
}

// A key that does something else, on the live page or in its debrief, cannot
// mark: a foot switch that says yes to stopping would be a trap.
func TestKeysThatCannotMark(t *testing.T) {
	for key, does := range map[string]string{
		"u": "take back", "s": "skip", "z": "zero again", "e": "1 s earlier", "n": "note", "q": "leave", "y": "stop the brew",
		"up": "scroll up", "down": "scroll down", "k": "scroll up", "j": "scroll down", "tab": "next lane",
		"m": "move up", "x": "cancel", "l": "next line", "t": "name, cups, coffee", "+": "one more", "?": "keys",
	} {
		if _, faults := configured(t, "keys: space "+key); !strings.Contains(faults, `"`+key+`" is the key for "`) || !strings.Contains(faults, does) {
			t.Errorf("%s: %q", key, faults)
		}
	}
	for _, key := range []string{"ctrl+c", "esc", "spacebar", "f21", "f0", "mm"} {
		if _, faults := configured(t, "keys: "+key); faults == "" {
			t.Errorf("%s can mark", key)
		}
	}
	if _, faults := configured(t, `keys: ","`); !strings.Contains(faults, `"," names no key`) {
		t.Errorf("no key at all: %q", faults)
	}
}

func TestAKettleThatCannotBe(t *testing.T) {
	for _, text := range []string{"500 °C", "-5 °C", "96"} {
		if _, faults := configured(t, "kettle: "+text); faults == "" {
			t.Errorf("%s is taken", text)
		}
		b := newBench(t)
		plan, err := brew.NewPlan(document(t, "quayside-press").Recipe(), b.bar())
		must(t, err)
		if _, _, err := b.brewing(&brewFlags{speed: 1, kettle: text}, plan, nil); err == nil {
			t.Errorf("--kettle %s is taken", text)
		}
	}
}

// A flag goes over the recipe, the recipe over the configuration, and that
// over what is so by itself.
func TestWhatGoesOverWhat(t *testing.T) {
	for name, c := range map[string]struct {
		flag, recipe, config, want string
	}{
		"the flag":          {"flag", "recipe", "config", "flag"},
		"the recipe":        {"", "recipe", "config", "recipe"},
		"the configuration": {"", "", "config", "config"},
		"nobody":            {"", "", "", ""},
	} {
		b := newBench(t)
		b.config.coffee, b.config.lot, b.config.setting, b.config.by = c.config, c.config, c.config, c.config
		recipe := document(t, "quayside-press").Recipe()
		recipe.Coffee, recipe.Lot, recipe.Setting = c.recipe, c.recipe, c.recipe
		plan, err := brew.NewPlan(recipe, b.bar())
		must(t, err)
		opt, k, err := b.brewing(&brewFlags{speed: 1, coffee: c.flag, lot: c.flag, setting: c.flag, by: c.flag}, plan, nil)
		must(t, err)
		if r := k.record; r.Coffee != c.want || r.Lot != c.want || r.Setting != c.want {
			t.Errorf("%s: %q %q %q, want %q", name, r.Coffee, r.Lot, r.Setting, c.want)
		}
		if by := firstOf(c.flag, c.config); opt.By != by || k.record.Person != by {
			t.Errorf("%s: by %q, want %q", name, opt.By, by)
		}
	}
	b := newBench(t)
	cool := brew.Celsius(90)
	b.config.kettle, b.config.marks = &cool, brew.MarksNone
	plan, err := brew.NewPlan(document(t, "quayside-press").Recipe(), b.bar())
	must(t, err)
	_, k, err := b.brewing(&brewFlags{speed: 1}, plan, nil)
	must(t, err)
	if *k.record.Kettle != 90 || k.record.Marks != brew.MarksNone {
		t.Errorf("%v %v", *k.record.Kettle, k.record.Marks)
	}
	_, k, err = b.brewing(&brewFlags{speed: 1, kettle: "95 °C", marks: "all"}, plan, nil)
	must(t, err)
	if *k.record.Kettle != 95 || k.record.Marks != brew.MarksAll {
		t.Errorf("%v %v", *k.record.Kettle, k.record.Marks)
	}
}
