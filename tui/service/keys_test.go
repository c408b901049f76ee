package service_test

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/draw"
	"barline/tui/service"

	"github.com/charmbracelet/bubbles/key"
)

// begin lets the service go on until the first brew has begun, and returns its
// order and its lane's key.
func (p *player) begin() (order int, lane string) {
	p.t.Helper()
	for at := math.Ceil(p.page.At().Seconds()) + 1; at < 600; at++ {
		if p.serve(at); p.page.Service().Brews() > 0 {
			order = p.page.Service().OrderOf(0)
			return order, p.page.LaneKey(order)
		}
	}
	p.t.Fatal("no brew has begun")
	return 0, ""
}

// now is the moment that the page has reached, in seconds, and some more.
func (p *player) now(more float64) float64 { return p.page.At().Seconds() + more }

// kinds counts what happened, as the recorder was told.
func (k *keeping) kinds() map[bar.ServiceKind]int {
	out := map[bar.ServiceKind]int{}
	for _, e := range k.events {
		out[e.Kind]++
	}
	return out
}

// recorded returns a player of a service with a recorder.
func recorded(t testing.TB, opt service.Options) (*player, *keeping) {
	k := newKeeping()
	opt.Recorder = k
	return opened(t, 80, 24, opt), k
}

// Marks are taken while the page asks for something that is no text.
func TestMarksAreTakenWhileSomethingIsAsked(t *testing.T) {
	for name, keys := range map[string][]string{"which recipe": {"a"}, "which order": {"x"}, "is it meant": {"x", "1"}, "how many brewers": {"b"}, "close": {"q"}, "all keys": {"?"}} {
		t.Run(name, func(t *testing.T) {
			p := opened(t, 80, 24, alone(t)).order("1", 5).serve(85)
			at := 86.0
			for _, k := range keys {
				p.press(k, at)
				at += 0.5
			}
			before := p.marks()
			p.press(" ", 93)
			if got := p.marks(); got != before+1 {
				t.Errorf("%d marks, want %d", got, before+1)
			}
		})
	}
}

// A foot switch that sends page-down marks even while a line is typed.
func TestPageDownMarksWhileALineIsTyped(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("1", 5).serve(85).press("t", 86).press("1", 87).write("Cl", 88)
	before := p.marks()
	p.press("pgdown", 93).write("eo", 94).press("enter", 95)
	if got := p.marks(); got != before+1 {
		t.Errorf("%d marks, want %d", got, before+1)
	}
	if got := p.page.Service().Ticket(0).Name; got != "Cleo" {
		t.Errorf("the order is called %q", got)
	}
}

// marks counts the starts and marks that stand in all brews.
func (p *player) marks() (n int) {
	s := p.page.Service()
	for i := range s.Brews() {
		lane := s.Lane(i)
		n++
		for b := range lane.Plan().Beats {
			if lane.Beat(b).Status == brew.Marked {
				n++
			}
		}
	}
	return n
}

func TestADigitMarksItsLane(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("22", 5).serve(50)
	p.press("2", 52)
	s := p.page.Service()
	if s.BrewOf(1) < 0 || s.BrewOf(0) >= 0 {
		t.Errorf("order 2 has brew %d, order 1 has %d", s.BrewOf(1), s.BrewOf(0))
	}
	p.press("7", 53)
	if sc := seen(p); !sc.spells("no order has lane 7") {
		t.Errorf("a lane that is not there is not told of:\n%s", strings.Join(sc.lines, "\n"))
	}
}

// A lane keeps its key as long as its order lasts; then the key is free.
func TestLanesKeepTheirKeys(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("142", 5)
	p.press("x", 10).press("2", 11).press("y", 12)
	if got := p.page.LaneKey(0) + p.page.LaneKey(2); got != "13" {
		t.Errorf("lanes %s after the second one was cancelled, want 13", got)
	}
	p.order("1", 15)
	if got := p.page.LaneKey(3); got != "2" {
		t.Errorf("the next order has lane %s, want 2", got)
	}
}

func TestATenthOrderHasALetter(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("1111111111", 5)
	if got := p.page.LaneKey(9); got != "A" {
		t.Errorf("its lane is %q, want A", got)
	}
}

// Of two beats that are equally near, the prompted lane's is marked, and that
// lane flashes for a second.
func TestATieGoesToThePromptedLaneWhichFlashes(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("22", 5).serve(50).press("1", 60).press("2", 60)
	p.wait(69).press(" ", 69.5)
	if !inverse(p) {
		t.Error("nothing flashes")
	}
	if p.wait(70.6); inverse(p) {
		t.Error("it still flashes after a second")
	}
	p.press(" ", 80)
	if inverse(p) {
		t.Error("a mark that was no tie flashes")
	}
}

func inverse(p *player) bool {
	c := p.page.Draw()
	for y := range c.Height {
		for x := range c.Width {
			if c.At(x, y).Role == draw.Inverse {
				return true
			}
		}
	}
	return false
}

// With two persons each mark key is a person's own: where something else waits
// for each of them, each key marks what is theirs.
func TestEachPersonHasAMarkKey(t *testing.T) {
	tried := 0
	for at := 90.0; at < 400 && tried < 5; at += 7 {
		p := opened(t, 80, 24, together(t)).order("1426", 5).serve(at)
		now := p.page.At() + sec(0.5)
		hers, any := p.page.Service().Nearest(now, -1, 0)
		his, too := p.page.Service().Nearest(now, -1, 1)
		if !any || !too || hers.Order == his.Order {
			continue
		}
		tried++
		for key, target := range map[string]bar.Target{" ": hers, "enter": his} {
			q, k := recorded(t, service.Options{Service: p.page.Service()})
			q.slow = true
			q.press(key, now.Seconds()).settle()
			if e, any := k.events[p.page.Service().Count()]; !any || e.Kind != bar.BrewEvent || e.Order != target.Order {
				t.Errorf("at %v s %q did %s to order %d, want a mark of order %d", at, key, e.Kind, e.Order, target.Order)
			}
		}
	}
	if tried == 0 {
		t.Error("there was no moment at which something else waits for each")
	}
}

// Of more persons than there are keys, those without share the last one.
func TestPersonsWithoutAKeyShareTheLast(t *testing.T) {
	for people, want := range map[int][]int{1: {-1, -1, -1}, 2: {0, 1, -1}, 3: {0, 1, 2}, 4: {0, 1, -1}} {
		if got := service.DefaultKeys().Markers(people); !slices.Equal(got, want) {
			t.Errorf("%d persons have the keys %v, want %v", people, got, want)
		}
	}
}

func TestAStartIsTakenBack(t *testing.T) {
	p, k := recorded(t, alone(t))
	p.order("1", 5).serve(85)
	if p.page.Service().BrewOf(0) < 0 {
		t.Fatal("the brew has not begun")
	}
	p.press("u", 88)
	if p.page.Service().BrewOf(0) >= 0 || k.kinds()[bar.StartTakenBack] != 1 {
		t.Errorf("brew %d, %v", p.page.Service().BrewOf(0), k.kinds())
	}
	p.press("u", 90)
	if s := seen(p); !s.spells("there is nothing to take back") {
		t.Error("it is not told that there is nothing more")
	}
}

func TestANoteIsKept(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("1", 5).serve(85).press("n", 86).write("slow kettle", 87).press("enter", 90)
	var notes []string
	for _, e := range p.page.Service().Lane(0).Events() {
		if e.Kind == brew.EventNote {
			notes = append(notes, e.Text)
		}
	}
	if !slices.Equal(notes, []string{"slow kettle"}) {
		t.Errorf("notes %q", notes)
	}
}

func TestSkipNudgeAndZeroGoToThePromptedBrew(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("1", 5).serve(85).press("z", 87)
	p.press(" ", 95).press("e", 96)
	kinds := map[brew.EventKind]int{}
	for _, e := range p.page.Service().Lane(0).Events() {
		kinds[e.Kind]++
	}
	if kinds[brew.EventZero] != 1 || kinds[brew.EventNudge] != 1 {
		t.Errorf("%v", kinds)
	}
	p.serve(128).press("s", 129)
	if !seen(p).spells("1 press: skipped: ") {
		t.Error("a skip is not told")
	}
}

func TestAChoreIsDoneEarly(t *testing.T) {
	p, k := recorded(t, alone(t))
	p.order("2", 5).wait(35).press("f", 36)
	if k.kinds()[bar.ChoreDone] != 1 {
		t.Errorf("%v", k.kinds())
	}
}

// Every key has a help, and no key does two things at once.
func TestKeysAreBoundOnce(t *testing.T) {
	k := service.DefaultKeys()
	for name, keys := range map[string][]key.Binding{"serving": k.Serving(), "choosing": k.Choosing(), "counting": k.Counting(), "over": k.Over()} {
		taken := map[string]string{}
		for _, b := range keys {
			if b.Help().Key == "" || b.Help().Desc == "" {
				t.Errorf("%s: %v has no help", name, b.Keys())
			}
			for _, key := range b.Keys() {
				if was, twice := taken[key]; twice {
					t.Errorf("%s: %q is for %q and %q", name, key, was, b.Help().Desc)
				}
				taken[key] = b.Help().Desc
			}
		}
	}
}

// Every key can be found on a screen of any of the sizes, page by page.
func TestTheHelpNamesEveryKey(t *testing.T) {
	for _, size := range sizes {
		p := opened(t, 80, 24, alone(t)).order("142", 5).serve(150)
		p.page = p.page.Resize(size.w, size.h)
		found := ""
		for i := range 20 {
			p.press("?", 151+float64(i))
			found += " " + strings.Join(strings.Fields(strings.Join(p.page.Draw().Lines(), " ")), " ")
		}
		for _, b := range service.DefaultKeys().Serving() {
			if text := b.Help().Key + " " + b.Help().Desc; b.Help().Key != "d" && !strings.Contains(found, text) {
				t.Errorf("%s: %q is on no page of the help", size, text)
			}
		}
	}
}

// The mark that is asked for is the key of the one who is asked.
func TestAPersonIsAskedForTheirOwnKey(t *testing.T) {
	asked := map[string]bool{}
	p := opened(t, 80, 24, together(t)).order("1426", 5)
	for at := 30.0; at < 200; at += 3 {
		for _, line := range seen(p.wait(at)).lines {
			for key, who := range map[string]string{"space": "Ada, ", "enter": "Bo, "} {
				if !strings.Contains(line, key+" as water meets coffee") {
					continue
				}
				asked[who] = true
				if key == "space" {
					p.press(" ", p.now(0.2))
				}
				if !strings.HasPrefix(line, who) {
					t.Errorf("at %v s %s is named: %s", at, key, line)
				}
			}
		}
	}
	if !asked["Bo, "] {
		t.Errorf("asked were %v", asked)
	}
}

// However little room the cues leave, what can be chosen is seen, and the help's
// last line stands alone.
func TestChoicesAndHelpAreSeenOnACrowdedScreen(t *testing.T) {
	opt := alone(t)
	opt.Service = bench(t, 3, "Ada", "Bo", "Cleo")
	p := opened(t, 40, 12, opt).order("123", 5).wait(20)
	p.press("a", 21)
	if sc := seen(p); !sc.spells("1 press") {
		t.Errorf("the recipes are not shown:\n%s", strings.Join(sc.lines, "\n"))
	}
	p.press("esc", 22).press("?", 23)
	last := strings.TrimSpace(seen(p).lines[11])
	if !regexp.MustCompile(`^(page \d+ of \d+, \? more, )?esc closes$`).MatchString(last) {
		t.Errorf("the last line is %q", last)
	}
}
