package pages_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"barline/brew"
	"barline/tui/draw"
	"barline/tui/pages"

	tea "github.com/charmbracelet/bubbletea"
	"pgregory.net/rapid"
)

// shelfless is a record in memory.
type shelfless struct {
	brews []pages.Brewed // the newest first
	asked []pages.Filter
	err   error
	lost  error // of a brew that is opened
	today int   // how many of the brews are from today
}

func (j *shelfless) Brews(f pages.Filter, behind string, n int) ([]pages.Brewed, bool, error) {
	j.asked = append(j.asked, f)
	if j.err != nil {
		return nil, false, j.err
	}
	var out []pages.Brewed
	seen := behind == ""
	for i, b := range j.brews {
		fits := (f.Recipe == "" || f.Recipe == b.Recipe) && (f.Person == "" || f.Person == b.Person) &&
			(f.Kind == "" || f.Kind == b.Kind) && (f.Days == 0 || i < j.today)
		if seen && fits {
			if len(out) == n {
				return out, true, nil
			}
			out = append(out, b)
		}
		seen = seen || b.ID == behind
	}
	return out, false, nil
}

func (j *shelfless) Past(id string) (pages.Past, error) {
	if j.lost != nil {
		return pages.Past{}, j.lost
	}
	return pages.Past{Brewed: pages.Brewed{ID: id}}, nil
}

func (j *shelfless) Measure(string, brew.Correction) error { return errors.New("not here") }

// brewed is a day at the bar, repeated.
func brewed(n int) []pages.Brewed {
	day := []pages.Brewed{
		{Recipe: "Quayside press", Person: "Ada", Kind: "service", End: "finished at 2:21"},
		{Recipe: "Quayside cone", Person: "Bo", Kind: "service", End: "stopped at 1:12: the cup fell over and the rest of it went onto the floor"},
		{Recipe: "Quayside concentrate for three", Person: "Ada", Kind: "practice", End: "finished at 3:52"},
		{Recipe: "Quayside press", Person: "", Kind: "service", End: "cut off"},
		{Recipe: "Quayside plunger pot", Person: "Bartholomew of the early shift", Kind: "rehearsal", End: "finished at 7:11"},
	}
	out := make([]pages.Brewed, n)
	for i := range out {
		out[i] = day[i%len(day)]
		out[i].ID = fmt.Sprintf("id-%05d", i)
		out[i].When = fmt.Sprintf("2026-11-%02d %02d:%02d", 30-i/40%30, 17-i/4%10, 59-i%60)
	}
	return out
}

// recording is the page with keys pressed, every command run at once.
func recording(j pages.Journal, w, h int, names ...string) (pages.Record, []tea.Msg) {
	var said []tea.Msg
	r, cmd := pages.NewRecord(j, pages.DefaultRecordKeys())
	r = r.Resize(w, h)
	for cmd != nil {
		r, cmd = r.Update(cmd())
	}
	for _, name := range names {
		r, cmd = r.Update(key(name))
		for cmd != nil {
			msg := cmd()
			switch msg.(type) {
			case pages.PastMsg, pages.BackMsg:
				said = append(said, msg)
			}
			r, cmd = r.Update(msg)
		}
	}
	return r, said
}

func times(name string, n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = name
	}
	return out
}

func TestRecordPages(t *testing.T) {
	twelve := brewed(40)
	for i := range twelve {
		twelve[i].When = fmt.Sprintf("2026-11-30 %d:%02d pm", 12-i/4, 59-i)
	}
	usual := []pages.Brewed{}
	for _, b := range brewed(40) {
		if b.Person == "Ada" || b.Person == "Bo" {
			b.Kind, b.End = "service", "finished at 2:21"
			usual = append(usual, b)
		}
	}
	for _, c := range []struct {
		name       string
		journal    *shelfless
		keys       []string
		says, wide []string
	}{
		{"record-empty", &shelfless{}, nil, []string{"what was brewed", "nothing yet", "q back"}, nil},
		{"record-usual", &shelfless{brews: usual}, []string{"down"}, []string{"> 2026-11-30", "Quayside cone"}, []string{"> 2026-11-30 17:58 Quayside cone Bo service finished at 2:21", "2 of 24", "d days"}},
		{"record", &shelfless{brews: brewed(40)}, []string{"down"}, []string{
			"> 2026-11-30 17:58 Quayside cone", "2026-11-30 17:59 Quayside press",
			"stopped at 1:12: the cup fell over and", "enter open", "q back",
		}, []string{"finished at 2:21", "cut off", "service", "2 of 40"}},
		{"record-many", &shelfless{brews: brewed(1000)}, times("pgdown", 9), nil, []string{"and more"}},
		{"record-twelve-hours", &shelfless{brews: twelve}, nil, []string{"12:59 pm Quayside press"}, []string{"finished at 2:21"}},
		{"record-filtered", &shelfless{brews: brewed(40), today: 20}, []string{"p", "r", "k", "d"}, []string{"what was brewed, Quayside press, by"}, []string{"what was brewed, Quayside press, by Ada, service, today", "1 of 4"}},
		{"record-none-like-that", &shelfless{brews: brewed(40)}, []string{"d"}, []string{"what was brewed, today", "nothing like that; a shows all"}, nil},
		{"record-error", &shelfless{err: errors.New("the journal is damaged: /home/ada/.local/share/barline/journal.db")}, nil,
			[]string{"! the journal is damaged:"}, []string{"! the journal is damaged: /home/ada/.local/share/barline/journal.db"}},
		{"record-lost", &shelfless{brews: brewed(4), lost: errors.New("the plan cannot be followed: it has no cues")}, []string{"down", "enter"},
			[]string{"! the plan cannot be followed: it has no cues", "> 2026-11-30 17:58"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			screens(t, c.name, c.says, c.wide, func(w, h int) *draw.Canvas {
				r, _ := recording(c.journal, w, h, c.keys...)
				return r.Draw()
			})
		})
	}
}

// screens compares a page at every size with its golden file.
func screens(t *testing.T, name string, says_, wide []string, draw func(w, h int) *draw.Canvas) {
	t.Helper()
	var file strings.Builder
	for _, size := range sizes {
		lines := sized(t, draw(size[0], size[1]), size[0], size[1])
		if size[0] >= 40 && size[1] >= 12 {
			says(t, lines, says_)
		}
		if size[0] >= 80 && size[1] >= 24 {
			says(t, lines, wide)
		}
		fmt.Fprintf(&file, "-- %dx%d --\n%s\n", size[0], size[1], strings.Join(lines, "\n"))
	}
	golden(t, name+".txt", file.String())
}

func TestTheCutOffPage(t *testing.T) {
	words := []string{
		"Quayside press by Ada, started 2026-11-30 08:14",
		"The last that was kept is from 0:52; its clock stands at 1:31 and runs on.",
		"The machine was started anew meanwhile, so its clock goes by the time of day.",
	}
	screens(t, "cut-off", []string{"A brew was cut off. It can go on.", words[0], words[1], words[2], "t take it up", "q leave it as cut off"}, nil, func(w, h int) *draw.Canvas {
		return pages.NewCutOff(words, pages.DefaultCutOffKeys()).Resize(w, h).Draw()
	})
	page := pages.NewCutOff(words, pages.DefaultCutOffKeys())
	for name, want := range map[string]tea.Msg{"t": pages.TakeUpMsg{}, "q": pages.DroppedMsg{}, "esc": pages.DroppedMsg{}, "ctrl+c": pages.DroppedMsg{}} {
		if _, cmd := page.Update(key(name)); cmd == nil || cmd() != want {
			t.Errorf("%s does not say %T", name, want)
		}
	}
	// Nothing that is pressed without looking takes a brew up or drops it.
	for _, name := range []string{" ", "enter", "pgdown", "y", "s"} {
		if _, cmd := page.Update(key(name)); cmd != nil {
			t.Errorf("%q does something", name)
		}
	}
}

// The list is walked to its end whatever its length, each brew once.
func TestTheWholeListCanBeWalked(t *testing.T) {
	for _, n := range []int{0, 1, 99, 100, 101, 250, 1000} {
		j := &shelfless{brews: brewed(n)}
		for _, step := range []string{"down", "pgdown"} {
			r, said := recording(j, 80, 24, append(times(step, n+1), "enter")...)
			if n == 0 {
				if len(said) != 0 {
					t.Error("something is opened of an empty list")
				}
				continue
			}
			if want := fmt.Sprintf("%d of %d", n, n); !strings.Contains(r.Draw().Lines()[0], want) {
				t.Errorf("%d brews, by %s: %q", n, step, r.Draw().Lines()[0])
			}
			if id := said[0].(pages.PastMsg).Past.ID; id != j.brews[n-1].ID {
				t.Errorf("%d brews: at the end %s is opened", n, id)
			}
		}
	}
}

// Each key narrows the list as it says, and the same key or a shows all again.
func TestTheKeysNarrowTheList(t *testing.T) {
	j := &shelfless{brews: brewed(40), today: 20}
	for keys, want := range map[string]pages.Filter{
		"p":               {Person: "Ada"},
		"p p":             {},
		"d p p":           {Days: 1},
		"down p":          {Person: "Bo"},
		"r":               {Recipe: "Quayside press"},
		"r r":             {},
		"p r":             {Person: "Ada", Recipe: "Quayside press"},
		"k":               {Kind: "service"},
		"k k":             {Kind: "rehearsal"},
		"k k k":           {Kind: "practice"},
		"k k k k":         {Kind: "demo"},
		"k k k k k":       {},
		"d":               {Days: 1},
		"d d":             {Days: 7},
		"d d d":           {Days: 30},
		"d d d d":         {Days: 365},
		"d d d d d":       {},
		"p r k d a":       {},
		"down down p k d": {Person: "Ada", Kind: "service", Days: 1},
	} {
		j.asked = nil
		recording(j, 80, 24, strings.Fields(keys)...)
		if got := j.asked[len(j.asked)-1]; got != want {
			t.Errorf("%s asks for %+v, want %+v", keys, got, want)
		}
	}
}

// An answer for a list that was left for another is not shown.
func TestALateAnswerIsStale(t *testing.T) {
	j := &shelfless{brews: brewed(300)}
	r, first := pages.NewRecord(j, pages.DefaultRecordKeys())
	r = r.Resize(80, 24)
	r, second := r.Update(key("k"))
	late := first()
	r, _ = r.Update(second())
	r, _ = r.Update(late)
	if got := r.Draw().Lines()[0]; !strings.Contains(got, "1 of 100 and more") {
		t.Errorf("%q", got)
	}
}

// odd draws a text of letters that are one and two cells wide, and blanks.
func odd(most int) *rapid.Generator[string] {
	return rapid.StringOfN(rapid.SampledFrom([]rune("abcdefg äöß 長い名前")), 0, most, -1)
}

func TestRecordFitsAnyScreen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 250).Draw(t, "brews")
		list := brewed(n)
		for i := range list {
			if rapid.IntRange(0, 9).Draw(t, "odd") == 0 {
				list[i].Recipe = odd(60).Draw(t, "recipe")
				list[i].Person = odd(40).Draw(t, "person")
			}
		}
		j := &shelfless{brews: list, today: n / 2}
		names := rapid.SliceOfN(rapid.SampledFrom([]string{"up", "down", "pgup", "pgdown", "p", "r", "k", "d", "a", "x"}), 0, 30).Draw(t, "keys")
		w, h := rapid.IntRange(-1, 220).Draw(t, "width"), rapid.IntRange(-1, 70).Draw(t, "height")
		r, _ := recording(j, w, h, names...)
		sized(t, r.Draw(), max(w, 0), max(h, 0))
		words := rapid.SliceOfN(odd(90), 0, 5).Draw(t, "words")
		sized(t, pages.NewCutOff(words, pages.DefaultCutOffKeys()).Resize(w, h).Draw(), max(w, 0), max(h, 0))
	})
}
