//go:build unix

package main

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"barline/brew"
	"barline/recipes"
)

// What the measurements have in common: cues, a meter that notes when each
// byte came to a terminal, and what is said of many figures.

// cue is what a program under measurement calls, and when.
type cue struct {
	due  time.Duration // since the start
	name string
}

// shown is what stands on the screen of every program while a cue is on, and
// at no other time.
func (c cue) shown() string { return c.name + ", by" }

// someCues returns a number of cues that come after gaps of random length, in
// whole milliseconds.
func someCues(d *rand.Rand, n int, least, most time.Duration) []cue {
	var cues []cue
	due := time.Duration(0)
	for i := range n {
		due += least + time.Duration(d.Int64N(int64((most-least)/time.Millisecond)+1))*time.Millisecond
		cues = append(cues, cue{due, fmt.Sprintf("c%03d", i+1)})
	}
	return cues
}

// recipeOf returns a recipe that calls the cues one behind the other.
func recipeOf(cues []cue) string {
	var b strings.Builder
	b.WriteString("name: Many cues\nmethod: other\ndose: 2 g\nwater: 30 g\ntemperature: 93 °C\ngrind: medium\nsteps:\n")
	fmt.Fprintf(&b, "  - {pour: to 30 g, over: %.3f s, mark: no}\n", cues[0].due.Seconds())
	for i, c := range cues {
		over := 30 * time.Second
		if i+1 < len(cues) {
			over = cues[i+1].due - c.due
		}
		fmt.Fprintf(&b, "  - {do: %s, over: %.3f s}\n", c.name, over.Seconds())
	}
	return b.String()
}

// gapsOf returns the cues as the programs beside barline read them.
func gapsOf(cues []cue) string {
	var b strings.Builder
	before := time.Duration(0)
	for _, c := range cues {
		fmt.Fprintf(&b, "%.3f %s\n", (c.due - before).Seconds(), c.name)
		before = c.due
	}
	return b.String()
}

// meter keeps what a terminal is given, and when it came.
type meter struct {
	mu    sync.Mutex
	all   []byte
	parts []part
}

// part is one reading of the terminal: all bytes up to its end had come at a
// moment.
type part struct {
	end int
	at  time.Duration
}

// watch reads until there is no more.
func (m *meter) watch(r io.Reader, now func() time.Duration) {
	b := make([]byte, 64<<10)
	for {
		n, err := r.Read(b)
		at := now()
		m.mu.Lock()
		m.all = append(m.all, b[:n]...)
		m.parts = append(m.parts, part{len(m.all), at})
		m.mu.Unlock()
		if err != nil {
			return
		}
	}
}

// here is the place behind all that has come.
func (m *meter) here() int {
	m.mu.Lock()
	defer m.mu.Unlock()
	return len(m.all)
}

// find returns when a text came that stands behind a place, and the place
// behind the text. The moment is that of its last byte, so never too early.
func (m *meter) find(text string, from int) (at time.Duration, behind int, ok bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	i := bytes.Index(m.all[from:], []byte(text))
	if i < 0 {
		return 0, from, false
	}
	behind = from + i + len(text)
	n := sort.Search(len(m.parts), func(n int) bool { return m.parts[n].end >= behind })
	return m.parts[n].at, behind, true
}

// await returns when a text came behind a place, and the place behind it.
func (m *meter) await(t testing.TB, text string, from int, within time.Duration) (time.Duration, int) {
	t.Helper()
	for began := time.Now(); ; time.Sleep(2 * time.Millisecond) {
		if at, behind, ok := m.find(text, from); ok {
			return at, behind
		}
		if time.Since(began) > within {
			t.Fatalf("%q does not come, but %q", text, m.all[max(from, len(m.all)-4000):])
		}
	}
}

// late returns how late each cue was shown that was shown at all. The place
// is one in front of all of them.
func (m *meter) late(cues []cue, zero time.Duration, from int) []time.Duration {
	var late []time.Duration
	for _, c := range cues {
		at, behind, ok := m.find(c.shown(), from)
		if ok {
			late, from = append(late, at-zero-c.due), behind
		}
	}
	return late
}

// strokes returns how late the first of the two strokes for each cue was. It
// is nil where there are not two for each: which belongs to which cannot be
// said then.
func (m *meter) strokes(cues []cue, zero time.Duration, from int) []time.Duration {
	var came []time.Duration
	for {
		at, behind, ok := m.find("\a", from)
		if !ok {
			break
		}
		came, from = append(came, at), behind
	}
	if len(came) != 2*len(cues) {
		return nil
	}
	var late []time.Duration
	for i, c := range cues {
		late = append(late, came[2*i]-zero-c.due)
	}
	return late
}

// spread says how a number of figures lie.
type spread []time.Duration

func spreadOf(figures []time.Duration) spread { return slices.Sorted(slices.Values(figures)) }

// at returns the figure below which a share of them lies.
func (s spread) at(share float64) time.Duration {
	if len(s) == 0 {
		return 0
	}
	return s[min(int(share*float64(len(s))), len(s)-1)]
}

func (s spread) String() string {
	return fmt.Sprintf("%4d: p50 %7.1f, p99 %7.1f, max %7.1f, min %5.1f ms", len(s), ms(s.at(0.5)), ms(s.at(0.99)), ms(s.at(1)), ms(s.at(0)))
}

// report makes metrics of it.
func (s spread) report(b *testing.B, name string) {
	b.Helper()
	b.ReportMetric(ms(s.at(0.5)), name+"-p50-ms")
	b.ReportMetric(ms(s.at(0.99)), name+"-p99-ms")
	b.ReportMetric(ms(s.at(1)), name+"-max-ms")
}

func ms(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

// gained returns by how much a row of figures grew from its first ten to its
// last ten: what builds up while a program runs.
func gained(figures []time.Duration) time.Duration {
	if len(figures) < 20 {
		return 0
	}
	return spreadOf(figures[len(figures)-10:]).at(0.5) - spreadOf(figures[:10]).at(0.5)
}

// The meter itself is measured, in simulated time, by programs whose lateness
// is known.
func TestTheMeterTellsAKnownLateness(t *testing.T) {
	const n = 200
	sleep := func(until time.Time) { time.Sleep(time.Until(until)) }
	for name, c := range map[string]struct {
		wait              func(zero time.Time, due time.Duration)
		least, half, most time.Duration // of the lateness, each within 2 ms
		gained            time.Duration // within 2 ms
	}{
		"one that is on time": {func(zero time.Time, due time.Duration) { sleep(zero.Add(due)) }, 0, 0, 0, 0},
		"one that is 30 ms late": {func(zero time.Time, due time.Duration) { sleep(zero.Add(due + 30*time.Millisecond)) },
			30 * time.Millisecond, 30 * time.Millisecond, 30 * time.Millisecond, 0},
		"one that is early": {func(zero time.Time, due time.Duration) { sleep(zero.Add(due - 5*time.Millisecond)) },
			-5 * time.Millisecond, -5 * time.Millisecond, -5 * time.Millisecond, 0},
		"one that loses 1 ms in a second": {func(zero time.Time, due time.Duration) { sleep(zero.Add(due + due/1000)) },
			0, 35 * time.Millisecond, 70 * time.Millisecond, 67 * time.Millisecond},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				cues := someCues(rand.New(rand.NewPCG(4, 1)), n, 250*time.Millisecond, 450*time.Millisecond)
				m, from, zero := metered(cues, c.wait)
				late := m.late(cues, zero, from)
				near := func(what string, got, want time.Duration) {
					if (got - want).Abs() > 2*time.Millisecond {
						t.Errorf("%s %s, want %s", what, got, want)
					}
				}
				s := spreadOf(late)
				near("min", s.at(0), c.least)
				near("p50", s.at(0.5), c.half)
				near("max", s.at(1), c.most)
				near("gained", gained(late), c.gained)
				near("the bell's max", spreadOf(m.strokes(cues, zero, from)).at(1), c.most)
				if len(late) != n {
					t.Errorf("%d cues, want %d", len(late), n)
				}
			})
		})
	}
}

// metered has a program call cues in simulated time: the program announces
// each by its name, writes the beginning of its row too early and the rest
// when it is to be called, and rings twice.
func metered(cues []cue, wait func(zero time.Time, due time.Duration)) (m *meter, from int, zero time.Duration) {
	began := time.Now()
	out, in := io.Pipe()
	m = &meter{}
	var reading sync.WaitGroup
	reading.Go(func() { m.watch(out, func() time.Duration { return time.Since(began) }) })
	time.Sleep(1234 * time.Millisecond)
	io.WriteString(in, cues[0].name+", by 0:00\a")
	synctest.Wait()
	from, zero = m.here(), time.Since(began)
	start := time.Now()
	for _, c := range cues {
		io.WriteString(in, "next: "+c.name+"; "+c.name)
		wait(start, c.due)
		io.WriteString(in, ", by 0:01\a")
		time.Sleep(100 * time.Millisecond)
		io.WriteString(in, "\a")
	}
	in.Close()
	reading.Wait()
	return m, from, zero
}

// A program that looks at its clock each 100 ms is as late as that, and a cue
// or a stroke that does not come is not counted as one that did.
func TestTheMeterTellsAPollAndWhatIsMissing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		cues := someCues(rand.New(rand.NewPCG(4, 2)), 300, 250*time.Millisecond, 450*time.Millisecond)
		m, from, zero := metered(cues, func(zero time.Time, due time.Duration) {
			const each = 100 * time.Millisecond
			time.Sleep(time.Until(zero.Add((due + each - 1) / each * each)))
		})
		s := spreadOf(m.late(cues, zero, from))
		if s.at(0) < 0 || s.at(0.5) < 40*time.Millisecond || s.at(0.5) > 60*time.Millisecond || s.at(1) < 95*time.Millisecond || s.at(1) >= 100*time.Millisecond {
			t.Errorf("%s, want an even spread from 0 to 100 ms", s)
		}
		more := append(slices.Clone(cues), cue{cues[299].due + time.Second, "c999"})
		if got := len(m.late(more, zero, from)); got != 300 {
			t.Errorf("%d cues came, want 300 of 301", got)
		}
		if m.strokes(more, zero, from) != nil {
			t.Error("600 strokes are taken for those of 301 cues")
		}
	})
}

// What all the programs are given must be the same cues.
func TestTheProgramsThatAreMeasuredAreGivenTheSameCues(t *testing.T) {
	for seed := range uint64(20) {
		cues := someCues(rand.New(rand.NewPCG(seed, 5)), 130, 250*time.Millisecond, 13*time.Second)
		document, faults := recipes.Parse("many.yaml", []byte(recipeOf(cues)))
		if errs := faults.Errors(); len(errs) > 0 {
			t.Fatal(errs)
		}
		plan, err := brew.NewPlan(document.Recipe(), brew.Bar{})
		if err != nil {
			t.Fatal(err)
		}
		gaps, due := strings.Fields(gapsOf(cues)), time.Duration(0)
		for i, c := range cues {
			gap, _ := strconv.ParseFloat(gaps[2*i], 64)
			due += time.Duration(math.Round(gap*1000)) * time.Millisecond
			if got := plan.Cues[i+1]; got.Start != c.due || got.Prompt != c.name || due != c.due || gaps[2*i+1] != c.name {
				t.Errorf("seed %d: %s at %s, but the recipe has %s at %s and the gaps have %s at %s", seed, c.name, c.due, got.Prompt, got.Start, gaps[2*i+1], due)
			}
		}
	}
}
