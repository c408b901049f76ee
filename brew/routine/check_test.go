package routine_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/brew/routine"
)

func TestWhatIsWrongWithARoutine(t *testing.T) {
	long := strings.Repeat("word ", 500)
	for _, c := range []struct {
		name   string
		change func(*routine.Routine)
		want   string // severity, place and how the message begins; "" for nothing
	}{
		{"nothing", func(*routine.Routine) {}, ""},
		{"no name", func(r *routine.Routine) { r.Name = "" }, "error name: name has 0 characters"},
		{"a name of 61 characters", func(r *routine.Routine) { r.Name = strings.Repeat("é", 61) }, "error name: name has 61 characters"},
		{"a name of 60 characters", func(r *routine.Routine) { r.Name = strings.Repeat("é", 60) }, ""},
		{"no limit", func(r *routine.Routine) { r.Limit = 0; r.Brews[0].At = nil }, "error limit: limit 0 s is outside"},
		{"a limit of an hour", func(r *routine.Routine) { r.Limit = time.Hour }, ""},
		{"a limit of more", func(r *routine.Routine) { r.Limit = time.Hour + s }, "error limit: limit 60 min 1 s is outside"},
		{"a pace nobody speaks at", func(r *routine.Routine) { r.Pace = 59 }, "error pace: pace 59 words/min is outside 60 to 300"},
		{"a slow pace", func(r *routine.Routine) { r.Pace = 79 }, "warning pace: pace 79 words/min is outside the usual 80 to 190"},
		{"the slowest usual pace", func(r *routine.Routine) { r.Pace = 80 }, ""},
		{"a fast pace", func(r *routine.Routine) { r.Pace = 191 }, "warning pace: pace 191 words/min"},
		{"a pace that is left out, and not needed", func(r *routine.Routine) { r.Pace = 0 }, ""},
		{"a pace that is left out, and needed", func(r *routine.Routine) { r.Pace = 0; r.Sections[0].Parts[0].Over = 0 }, "warning sections: parts without a length are taken at 130 words a minute"},
		{"no brews", func(r *routine.Routine) { r.Brews = nil; r.Sections = r.Sections[:1] }, "error brews: 0 brews, not 1 to 12"},
		{"out before the limit", func(r *routine.Routine) { r.Rules.Out = 179 * s }, "error rules.out: out 2:59 comes before the limit, 3:00"},
		{"out at the limit", func(r *routine.Routine) { r.Rules.Out = 180 * s }, ""},
		{"too many points", func(r *routine.Routine) { r.Rules.Points = 1001 }, "error rules.points: 1001 points"},
		{"a cap below one second's points", func(r *routine.Routine) { r.Rules.Points, r.Rules.Cap = 5, 4 }, "warning rules.cap: cap 4 is less than one second costs, 5"},
		{"a cap of one second's points", func(r *routine.Routine) { r.Rules.Points, r.Rules.Cap = 5, 5 }, ""},
		{"points above the usual cap", func(r *routine.Routine) { r.Rules.Points = 61 }, "warning rules.cap: cap 60 is less than one second costs, 61"},
		{"a limit nobody means, and a time past which the run is out", func(r *routine.Routine) { r.Limit, r.Rules.Out = 600*time.Minute, 4*time.Minute }, "error limit: limit 600 min is outside"},
		{"an id twice", func(r *routine.Routine) { r.Brews = append(r.Brews, r.Brews[0]) }, `error brews 2, id: id "left" is that of brew 1 too`},
		{"a recipe that is not there", func(r *routine.Routine) { r.Brews[0].Recipe = "none"; r.Brews[0].Quiet = []string{"x"} }, `error brews 1, recipe: no recipe "none"`},
		{"a dose that is none", func(r *routine.Routine) { r.Brews[0].Dose = 10 * brew.Kilogram }, "error brews 1, dose: dose 10000 g is outside 1 g to 2000 g"},
		{"a start past the limit", func(r *routine.Routine) { r.Brews[0].At = at(181 * s) }, "error brews 1, at: 3:01 is past the limit, 3:00"},
		{"a start at a fraction", func(r *routine.Routine) { r.Brews[0].At = at(1500 * time.Millisecond) }, "error brews 1, at: 0:01.5 is no whole second"},
		{"a quiet step that is not there", func(r *routine.Routine) { r.Brews[0].Quiet = []string{"stir"} }, `error brews 1, quiet: left has no step "stir"`},
		{"a quiet step by its key", func(r *routine.Routine) { r.Brews[0].Quiet = []string{"First Pour"} }, ""},
		{"a quiet step twice", func(r *routine.Routine) { r.Brews[0].Quiet = []string{"bloom", "second pour", "First Pour"} }, `error brews 1, quiet: quiet names "bloom" twice`},
		{"within without serving", func(r *routine.Routine) {
			r.Brews[0].Serve, r.Brews[0].Within = 0, s
			r.Sections[2].Parts[0].After = nil
		}, "error brews 1, within: within without serve"},
		{"more set-up than there is", func(r *routine.Routine) { r.Setup, r.Brews[0].Ready = 19*s, true }, "error setup: preparing in set-up time takes 20 s, but there are 19 s"},
		{"just enough set-up", func(r *routine.Routine) { r.Setup, r.Brews[0].Ready = 20*s, true }, ""},
		{"no sections", func(r *routine.Routine) { r.Sections = nil }, "error sections: no sections"},
		{"a section twice", func(r *routine.Routine) { r.Sections[2].Name = "WELCOME" }, `error sections 3, name: name "WELCOME" is that of section 1 too`},
		{"a section without a name", func(r *routine.Routine) { r.Sections[2].Name = "" }, "error sections 3, name: name has 0 characters"},
		{"a section without parts", func(r *routine.Routine) { r.Sections[0].Parts = nil }, "error sections 1, parts: a section without parts"},
		{"a part of nothing", func(r *routine.Routine) { r.Sections[1].Parts[1].Over = 0 }, "error parts 4: a part with no words and no length"},
		{"a part of too many words", func(r *routine.Routine) {
			r.Limit = 20 * time.Minute
			r.Sections[0].Parts[0] = routine.Part{Say: long, Over: 10 * time.Minute}
		}, "error parts 1, say: words of 2500 characters"},
		{"words that take longer than the limit", func(r *routine.Routine) { r.Sections[0].Parts[0].Over = 170 * s }, "warning sections: the parts take 3:47 one after the other"},
		{"words nobody can say so fast", func(r *routine.Routine) {
			r.Sections[0].Parts[0] = routine.Part{Say: "one two three four five six", Over: s}
		}, "warning parts 1, over: 6 words in 1 s are 360 a minute"},
		{"at a time and with a step", func(r *routine.Routine) { r.Sections[1].Parts[0].At = at(70 * s) }, "error parts 3, during: a part begins either at a time or with a step"},
		{"longer than its step", func(r *routine.Routine) { r.Sections[1].Parts[0].Over = 31 * s }, "warning parts 3, during: second pour takes 30 s, what is said during it 31 s"},
		{"as long as its step", func(r *routine.Routine) { r.Sections[1].Parts[0].Over = 30 * s }, ""},
		{"tied to no brew", func(r *routine.Routine) { r.Sections[1].Parts[0].During = ref("bloom", "right") }, `error parts 3, during: no brew "right"`},
		{"tied to no step", func(r *routine.Routine) { r.Sections[1].Parts[0].During = ref("stir", "left") }, `error parts 3, during: left has no step "stir"`},
		{"tied to no serving", func(r *routine.Routine) { r.Brews[0].Serve = 0 }, "error parts 5, after: left is not served"},
	} {
		r := small()
		r.Sections = append([]routine.Section(nil), r.Sections...)
		c.change(&r)
		_, faults := routine.Resolve(r, find, brew.Bar{})
		var got []string
		for _, f := range faults {
			got = append(got, fmt.Sprintf("%s %s", f.Severity, f.Error()))
			if strings.ToLower(f.Message[:1]) != f.Message[:1] || strings.HasSuffix(f.Message, ".") {
				t.Errorf("%s: %q is no message of ours", c.name, f.Message)
			}
		}
		if c.want == "" && len(got) == 0 {
			continue
		}
		if len(got) != 1 || c.want == "" || !strings.HasPrefix(got[0], c.want) {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
}

func TestHowLongWordsTake(t *testing.T) {
	r := routine.Routine{Pace: 120}
	for _, c := range []struct {
		part  routine.Part
		words int
		takes time.Duration
	}{
		{routine.Part{Say: "Good morning"}, 2, s},
		{routine.Part{Say: "one two three"}, 3, 2 * s}, // 1.5 s, rounded up
		{routine.Part{Say: "a - b … c"}, 3, 2 * s},     // signs are not said
		{routine.Part{Say: "it's 93 °C, isn't it?"}, 5, 3 * s},
		{routine.Part{Say: "one two three", Over: 1500 * time.Millisecond}, 3, 1500 * time.Millisecond},
		{routine.Part{Over: 20 * s}, 0, 20 * s},
		{routine.Part{Say: strings.Repeat("word ", 120)}, 120, 60 * s},
	} {
		if got := routine.Words(c.part.Say); got != c.words {
			t.Errorf("%q has %d words, want %d", c.part.Say, got, c.words)
		}
		if got := r.Length(c.part); got != c.takes {
			t.Errorf("%q takes %s, want %s", c.part.Say, got, c.takes)
		}
	}
	r.Pace = 0
	if got := r.Length(routine.Part{Say: strings.Repeat("word ", 130)}); got != time.Minute {
		t.Errorf("130 words take %s at the usual pace", got)
	}
}
