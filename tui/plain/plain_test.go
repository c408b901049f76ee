package plain_test

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"barline/brew"
	"barline/tui/live"
	"barline/tui/plain"
)

const s = time.Second

// plan is a short press with a pause, a caution and two marks at its press.
func plan(t *testing.T) *brew.Plan {
	t.Helper()
	p, err := brew.NewPlan(brew.Recipe{
		Name: "Short press", Method: brew.PressMethod, Dose: 14 * brew.Gram, Water: 210 * brew.Gram, Temperature: 93, Grind: "medium-fine",
		Prepare: []brew.Chore{{Do: "Grind {dose}"}, {Do: "Rinse the filter"}},
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 210 * brew.Gram, To: true, Over: 20 * s, Label: "fill", Why: "in one go"},
			{Action: brew.Stir, Text: "4 turns", Over: 4 * s},
			{Action: brew.Press, Anchor: brew.At, Offset: 60 * s, Text: "to the hiss", Over: 20 * s, Caution: "stop where it takes force"},
		},
		Afterwards: []brew.Chore{{Do: "Rinse the plunger"}},
	}, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// call is one brew called in simulated time.
type call struct {
	t     *testing.T
	began time.Time
	in    *io.PipeWriter
	done  chan plain.Result

	mu    sync.Mutex
	lines []string // with the second at which they were said
}

func begin(t *testing.T, opt live.Options) *call {
	c := &call{t: t, began: time.Now(), done: make(chan plain.Result, 1)}
	if opt.Plans == nil {
		opt.Plans = []*brew.Plan{plan(t)}
	}
	opt.Ahead = live.DefaultAhead
	opt.Now = func() time.Duration { return time.Since(c.began) + 100*s } // the machine's clock does not begin at 0
	in, w := io.Pipe()
	c.in = w
	go func() { c.done <- plain.Run(in, c, opt) }()
	synctest.Wait()
	return c
}

// Write notes what is said, and when.
func (c *call) Write(b []byte) (int, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for line := range strings.Lines(string(b)) {
		c.lines = append(c.lines, fmt.Sprintf("%g| %s", time.Since(c.began).Seconds(), strings.TrimSuffix(line, "\n")))
	}
	return len(b), nil
}

// types types a line at a second.
func (c *call) types(at float64, line string) {
	time.Sleep(time.Duration(at*float64(s)) - time.Since(c.began))
	synctest.Wait()
	io.WriteString(c.in, line+"\n")
	synctest.Wait()
}

// ends ends the input at a second and returns what came of the brew.
func (c *call) ends(at float64) plain.Result {
	time.Sleep(time.Duration(at*float64(s)) - time.Since(c.began))
	c.in.Close()
	return <-c.done
}

// said returns what was said from a second on.
func (c *call) said(from float64) []string {
	c.mu.Lock()
	defer c.mu.Unlock()
	var out []string
	for _, line := range c.lines {
		var at float64
		fmt.Sscanf(line, "%g|", &at)
		if at >= from {
			out = append(out, line)
		}
	}
	return out
}

func (c *call) must(lines ...string) {
	c.t.Helper()
	all := c.said(0)
	for _, line := range lines {
		if !slices.Contains(all, line) {
			c.t.Errorf("%q was not said:\n%s", line, strings.Join(all, "\n"))
		}
	}
}

func TestAWholeBrewIsCalled(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := begin(t, live.Options{By: "Ada"})
		c.types(2, "") // water meets coffee
		c.types(23.2, "")
		c.types(62, "")
		c.types(80, "")
		c.types(85, "182.5")
		c.types(86, "much")
		c.types(87, "1.35 %")
		c.types(88, "round")
		r := c.ends(89)
		want := []string{
			"0| Short press: 14 g coffee, 210 g water, 93 °C, medium-fine, 1:20 in all",
			"0| brewed by Ada",
			"0| prepare: Grind 14 g",
			"0| prepare: Rinse the filter",
			"0| caution: press: stop where it takes force",
			"0| " + plain.Help,
			"0| an empty line starts the clock as water meets coffee, q leaves: Pour to 210 g",
			"2| 0:00 Pour to 210 g (fill), by 0:20, mark when done; in one go",
			"17| 0:15 in 5 s: Stir 4 turns",
			"22| 0:20 Stir 4 turns, by 0:24",
			"23.2| 0:21 marked: fill, end +1.2 s on time",
			"57| 0:55 in 5 s: Press to the hiss; caution: stop where it takes force",
			"62| 1:00 Press to the hiss, by 1:20, mark as you begin, mark when done; caution: stop where it takes force",
			"62| 1:00 marked: press, start 0.0 s on time",
			"80| 1:18 marked: press, end -2.0 s on time",
			"80| 1:18 finished",
		}
		got := c.said(0)
		if n := min(len(got), len(want)); !slices.Equal(got[:n], want) {
			t.Errorf("said\n%s\nwant\n%s", strings.Join(got[:n], "\n"), strings.Join(want, "\n"))
		}
		c.must(
			"80| press, end: -2.0 s on time", "80| press took 18.0 s, -2.0 s as written", "80| contact 1 min 18 s, -2.0 s as written",
			"80| afterwards: Rinse the plunger",
			"80| beverage in the server, g (an empty line leaves it out)", "85| strength, % (an empty line leaves it out)",
			`86| "much" is not a figure in % between 0 and 30`, "86| strength, % (an empty line leaves it out)", "87| taste (an empty line leaves it out)",
		)
		if r.Reading.Beverage.String() != "182.5 g" || *r.Reading.Strength != 1.35 || r.Reading.Taste != "round" || r.Unsaved != nil {
			t.Errorf("%+v", r)
		}
		if got := c.said(88); len(got) > 0 {
			t.Errorf("more was said: %q", got)
		}
	})
}

func TestLinesAreKeys(t *testing.T) {
	for name, c := range map[string]struct {
		typed map[float64]string // by the second of the brew
		want  []string
	}{
		"a mark is told how it fell":       {map[float64]string{26: ""}, []string{"26| 0:26 marked: fill, end +6.0 s late"}},
		"u takes back":                     {map[float64]string{20: "", 22: "u"}, []string{"22| 0:22 taken back: fill, end"}},
		"u again has nothing to take back": {map[float64]string{20: "", 22: "u", 24: "u"}, []string{"24| 0:24 there is nothing to take back"}},
		"s skips, and says nothing more":   {map[float64]string{30: "s"}, []string{"30| 0:30 skipped: press"}},
		"e moves the mark":                 {map[float64]string{22: "", 23: "e"}, []string{"23| 0:23 marked: fill, end +1.0 s on time"}},
		"z starts the clock again":         {map[float64]string{5: "z"}, []string{"5| 0:00 this is 0:00 now", "25| 0:20 Stir 4 turns, by 0:24"}},
		"z is too late after a while":      {map[float64]string{16: "z"}, []string{"16| 0:16 zero can be set again only in the first 15 s"}},
		"n notes":                          {map[float64]string{10: "n  slow kettle "}, []string{"10| 0:10 noted"}},
		"n alone needs words":              {map[float64]string{10: "n"}, []string{"10| a note needs words: n TEXT"}},
		"q stops":                          {map[float64]string{10: "q"}, []string{"10| 0:10 stopped"}},
		"q stops with a reason":            {map[float64]string{10: "q the cup fell"}, []string{"10| 0:10 stopped: the cup fell"}},
		"an unknown line is told":          {map[float64]string{10: "mark"}, []string{`10| "mark" is not known: ` + plain.Help}},
		"a key with too many words, too":   {map[float64]string{10: "u please"}, []string{`10| "u please" is not known: ` + plain.Help}},
		"blanks around a key do not hurt":  {map[float64]string{21: "  ", 23: " u\r"}, []string{"21| 0:21 marked: fill, end +1.0 s on time", "23| 0:23 taken back: fill, end"}},
		"a stray mark is told":             {map[float64]string{20: "", 22: ""}, []string{"22| 0:22 too early: stir is not done; the mark moves nothing"}},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				call := begin(t, live.Options{})
				call.types(0, "")
				for second := range 300 {
					if line, ok := c.typed[float64(second)]; ok {
						call.types(float64(second), line)
					}
				}
				call.ends(300)
				call.must(c.want...)
			})
		})
	}
}

// A cue that was skipped is not called, unless the skip is taken back.
func TestWhatIsSkippedIsNotCalled(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := begin(t, live.Options{})
		c.types(0, "")
		c.types(30, "s")
		c.types(40, "u")
		c.types(61, "s")
		c.ends(300)
		calls := 0
		for _, line := range c.said(0) {
			if strings.Contains(line, " Press to the hiss, by ") {
				calls++
				if !strings.HasPrefix(line, "60| 1:00 ") {
					t.Errorf("%q", line)
				}
			}
		}
		if calls != 1 {
			t.Errorf("the press was called %d times:\n%s", calls, strings.Join(c.said(0), "\n"))
		}
	})
}

func TestTheClockRunsOnWhenTheInputEnds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := begin(t, live.Options{})
		c.types(1, "")
		r := c.ends(10)
		c.must("61| 1:00 Press to the hiss, by 1:20, mark as you begin, mark when done; caution: stop where it takes force", "141| 2:20 finished", "141| afterwards: Rinse the plunger")
		if how, at, _ := r.Lane.Ending(); how != brew.Finished || at != 140*s {
			t.Errorf("%s at %s", how, at)
		}
		if got := c.said(142); len(got) > 0 {
			t.Errorf("readings were asked for though nobody is there: %q", got)
		}
	})
}

func TestWithoutAnyInputItStartsAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := begin(t, live.Options{Speed: 10, Kind: "practice"})
		r := c.ends(0)
		c.must("0| this is practice, at speed 10", "6| 1:00 Press to the hiss, by 1:20, mark as you begin, mark when done; caution: stop where it takes force", "14| 2:20 finished")
		if !r.Lane.Started() {
			t.Error("it has not started")
		}
	})
}

func TestBeforeTheStart(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := begin(t, live.Options{})
		c.types(1, "u")
		c.types(2, "q")
		r := <-c.done
		c.must(`1| "u" is not known here: an empty line starts the clock, q leaves`)
		if r.Lane.Started() || len(c.said(3)) > 0 {
			t.Error("it has started")
		}
		c.in.Close()
	})
}

func TestTheCountIn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := begin(t, live.Options{CountIn: 3 * s})
		c.types(1, "")
		c.types(2, "")
		c.types(24.5, "")
		c.ends(200)
		c.must("1| counting in 3 s, q leaves", `2| "" is not known here: q leaves`, "4| 0:00 Pour to 210 g (fill), by 0:20, mark when done; in one go", "24.5| 0:20 marked: fill, end +0.5 s on time")
	})
	synctest.Test(t, func(t *testing.T) {
		c := begin(t, live.Options{CountIn: 3 * s})
		c.types(1, "")
		c.types(2, "q")
		if r := <-c.done; r.Lane.Started() {
			t.Error("the count-in cannot be left")
		}
		c.in.Close()
	})
}

func TestABrewBegunInTheMiddle(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := begin(t, live.Options{From: 22 * s, Kind: "practice"})
		c.types(0, "")
		c.ends(1)
		c.must("0| an empty line starts the clock at 0:22, q leaves", "0| 0:22 Stir 4 turns, by 0:24", "38| 1:00 Press to the hiss, by 1:20, mark as you begin, mark when done; caution: stop where it takes force")
		for _, line := range c.said(0) {
			if strings.Contains(line, "Pour to 210 g (fill)") {
				t.Errorf("%q was called, but it was over", line)
			}
		}
	})
}

// disk is a recorder that fails at some events and keeps the others.
type disk struct {
	mu     sync.Mutex
	fails  map[int]bool
	events map[int]brew.Event
	read   []brew.Correction
	zeros  map[time.Duration]bool
}

func (d *disk) Append(n int, e brew.Event, zero time.Duration) error {
	time.Sleep(100 * time.Millisecond)
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.fails[n] {
		return errors.New("the disk is full")
	}
	d.events[n], d.zeros[zero] = e, true
	return nil
}

func (d *disk) Measure(r brew.Correction) error { d.read = append(d.read, r); return nil }

func newDisk(fails ...int) *disk {
	d := &disk{fails: map[int]bool{}, events: map[int]brew.Event{}, zeros: map[time.Duration]bool{}}
	for _, n := range fails {
		d.fails[n] = true
	}
	return d
}

func TestEveryEventIsRecorded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newDisk()
		c := begin(t, live.Options{Recorder: d})
		c.types(2, "")
		c.types(22, "")
		c.types(30, "n all well")
		c.types(40, "u")
		c.types(41, "u") // refused, and leaves no trace
		c.types(62, "q")
		c.types(70, "180")
		r := c.ends(71)
		if r.Unsaved != nil {
			t.Errorf("not saved: %v", r.Unsaved)
		}
		want := []brew.EventKind{brew.EventStart, brew.EventMark, brew.EventNote, brew.EventUndo, brew.EventStop}
		if len(d.events) != len(want) || len(r.Lane.Events()) != len(want) {
			t.Errorf("%d events are kept, %d happened, want %d", len(d.events), len(r.Lane.Events()), len(want))
		}
		for n, kind := range want {
			if d.events[n].Kind != kind {
				t.Errorf("event %d is %q, want %q", n, d.events[n].Kind, kind)
			}
		}
		if len(d.zeros) != 1 || !d.zeros[102*s] {
			t.Errorf("the clock's zero is said to be at %v, want 1 min 42 s", d.zeros)
		}
		if len(d.read) != 1 || d.read[0].Beverage.String() != "180 g" {
			t.Errorf("readings: %+v", d.read)
		}
	})
}

func TestARecorderThatFailsIsToldAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := begin(t, live.Options{Recorder: newDisk(1, 2)})
		c.types(0, "")
		c.types(20, "")
		c.types(22, "n one")
		c.types(24, "n two")
		r := c.ends(25)
		c.must("20.1| not saved: the disk is full", "24.1| saved again")
		told := 0
		for _, line := range c.said(0) {
			if strings.Contains(line, "not saved") {
				told++
			}
		}
		if told != 1 || r.Unsaved != nil {
			t.Errorf("told %d times; in the end: %v", told, r.Unsaved)
		}
	})
	synctest.Test(t, func(t *testing.T) {
		c := begin(t, live.Options{Recorder: newDisk(0, 1, 2)})
		c.types(0, "")
		c.types(10, "q")
		r := c.ends(11)
		if r.Unsaved == nil {
			t.Error("nobody knows that it is not saved")
		}
	})
}
