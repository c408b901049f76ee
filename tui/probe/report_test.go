package probe_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"barline/tui/probe"
)

const ms = time.Millisecond

// The quantiles are those of type 7 of Hyndman and Fan: of 1 to 100, in R,
// quantile(1:100, c(.5, .99)) is 50.5 and 99.01.
func TestSpread(t *testing.T) {
	var times []time.Duration
	for i := range 100 {
		times = append(times, time.Duration(100-i)*ms)
	}
	want := probe.Spread{N: 100, P50: 50500 * time.Microsecond, P99: 99010 * time.Microsecond, Max: 100 * ms}
	if got := probe.SpreadOf(times); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	if times[0] != 100*ms {
		t.Error("the times were put into another order")
	}
	if got := probe.SpreadOf(nil); got != (probe.Spread{}) {
		t.Errorf("of nothing: %+v", got)
	}
	if got := probe.SpreadOf([]time.Duration{7 * ms}); got != (probe.Spread{1, 7 * ms, 7 * ms, 7 * ms}) {
		t.Errorf("of one: %+v", got)
	}
}

func TestMillis(t *testing.T) {
	for d, want := range map[time.Duration]string{0: "0.00 ms", 340 * time.Microsecond: "0.34 ms", ms: "1.0 ms", 12345 * time.Microsecond: "12.3 ms", time.Second: "1000.0 ms"} {
		if got := probe.Millis(d); got != want {
			t.Errorf("%s: %q, want %q", d, got, want)
		}
	}
}

func environment(values ...string) func(string) string {
	set := map[string]string{}
	for _, v := range values {
		name, value, _ := strings.Cut(v, "=")
		set[name] = value
	}
	return func(name string) string { return set[name] }
}

func TestFactsAreWhatTheEnvironmentSays(t *testing.T) {
	for name, c := range map[string]struct {
		env  []string
		want probe.Facts
	}{
		"nothing is said":                 {nil, probe.Facts{}},
		"a terminal of many colours":      {[]string{"TERM=xterm-256color", "COLORTERM=truecolor"}, probe.Facts{Term: "xterm-256color", ColorTerm: "truecolor"}},
		"colours are not wanted":          {[]string{"NO_COLOR=1"}, probe.Facts{NoColor: true}},
		"over ssh":                        {[]string{"SSH_CONNECTION=192.0.2.1 5 192.0.2.2 22"}, probe.Facts{SSH: true}},
		"over ssh, by its terminal":       {[]string{"SSH_TTY=/dev/pts/3"}, probe.Facts{SSH: true}},
		"inside a multiplexer":            {[]string{"TMUX=/tmp/x,1,0"}, probe.Facts{Multiplexer: true}},
		"inside one, by its name":         {[]string{"TERM=screen-256color"}, probe.Facts{Term: "screen-256color", Multiplexer: true}},
		"what cannot stand in a line":     {[]string{"TERM=a\nname: b\x1b[31m é"}, probe.Facts{Term: "aname:b[31m"}},
		"a value that is longer than any": {[]string{"COLORTERM=" + strings.Repeat("x", 99)}, probe.Facts{ColorTerm: strings.Repeat("x", 40)}},
	} {
		t.Run(name, func(t *testing.T) {
			if got := (probe.Facts{}).From(environment(c.env...)); fmt.Sprintf("%+v", got) != fmt.Sprintf("%+v", c.want) {
				t.Errorf("%+v, want %+v", got, c.want)
			}
		})
	}
}

// whole is a report in which everything was measured.
func whole() probe.Report {
	delays := probe.Delays{}
	for i := range probe.Moments {
		delays = delays.With(time.Duration(5+i)*ms, probe.Answered)
	}
	return probe.Report{
		Facts: probe.Facts{
			Barline: "v1.2.3", Go: "go1.26.8", System: "linux/amd64", Terminal: true, Term: "xterm-256color", UTF8: true,
			Colours: "256", Ground: "dark", Bell: true, MarkKeys: []string{"space", "enter", "page-down"},
		},
		Width: 80, Height: 24, Synced: true, Rings: 3,
		Widths: &probe.Widths{Signs: []probe.Sign{{'█', 1}, {'░', 1}}},
		Hand:   hold(probe.Hand{}, 1000, 400, 33, 30),
		Delays: delays,
		Writes: &probe.Writes{Spread: probe.Spread{N: 50, P50: 340 * time.Microsecond, P99: 1200 * time.Microsecond, Max: 4 * ms}},
	}
}

func TestReport(t *testing.T) {
	want := `report: barline terminal
barline: v1.2.3
go: go1.26.8
system: linux/amd64
terminal: yes
TERM: xterm-256color
COLORTERM: not set
NO_COLOR: not set
locale is UTF-8: yes
over ssh: no
inside a multiplexer: no
size: 80x24
synchronised output: known
colours used: 256
ground of the theme: dark
width of signs: as they are drawn (2 signs asked)
figures made of: block elements
bell: on
rung: 3 times, with 2 strokes each
mark keys: space, enter, page-down
last key: space, a mark key
marks pressed: once
key held down: space repeats after 400 ms, then every 33 ms (31 events), taken as one mark, as it should be
moment to answer: p50 14.5 ms, max 24.0 ms (20 moments)
durable write: p50 0.34 ms, p99 1.2 ms, max 4.0 ms (50 events)
`
	if got := whole().Text(); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

func TestReportSaysWhatIsNotKnown(t *testing.T) {
	lost := func(how probe.Heard) probe.Delays { return probe.Delays{}.With(0, how) }
	for name, c := range map[string]struct {
		change func(*probe.Report)
		want   []string
	}{
		"no screen": {func(r *probe.Report) { *r = probe.Report{NotAsked: probe.NoScreen} }, []string{
			"terminal: no", "TERM: not set", "size: no terminal", "synchronised output: not measured: there is no screen",
			"width of signs: not measured: there is no screen", "bell: off", "rung: not measured: there is no screen",
			"last key: not measured: there is no screen", "marks pressed: not measured: there is no screen", "key held down: not measured: there is no screen",
			"moment to answer: not measured: there is no screen", "durable write: not measured yet",
		}},
		"a terminal without a size":     {func(r *probe.Report) { r.Width, r.Height = 0, 0 }, []string{"size: the terminal does not tell"}},
		"no answer":                     {func(r *probe.Report) { r.Widths, r.Delays = &probe.Widths{How: probe.Silent}, lost(probe.Silent) }, []string{"width of signs: the terminal does not answer", "moment to answer: the terminal does not answer within 1 s"}},
		"no frame":                      {func(r *probe.Report) { r.Delays = lost(probe.Unasked) }, []string{"moment to answer: not measured: no frame was written within 1 s"}},
		"some answers":                  {func(r *probe.Report) { r.Delays = r.Delays.With(0, probe.Silent) }, []string{"moment to answer: p50 14.5 ms, max 24.0 ms (20 moments, 1 without an answer)"}},
		"some widths":                   {func(r *probe.Report) { r.Widths.How = probe.Silent }, []string{"width of signs: as they are drawn (2 signs asked, then no answer)"}},
		"left before anything was said": {func(r *probe.Report) { r.Widths, r.Delays, r.Writes = nil, probe.Delays{}, nil }, []string{"width of signs: not measured yet", "moment to answer: not measured yet", "durable write: not measured yet"}},
		"too small":                     {func(r *probe.Report) { r.NotAsked = probe.TooSmall }, []string{"width of signs: not measured: the terminal is too small to be asked", "moment to answer: not measured: the terminal is too small to be asked", "marks pressed: once"}},
		"another character set":         {func(r *probe.Report) { r.UTF8, r.ASCII = false, true }, []string{"locale is UTF-8: no", "width of signs: not measured: the locale is not UTF-8", "figures made of: ASCII characters"}},
		"no synchronised output":        {func(r *probe.Report) { r.Synced = false }, []string{"synchronised output: no answer that it is known"}},
		"a disk that cannot be written": {func(r *probe.Report) {
			r.Writes = &probe.Writes{Fault: "the journal's folder cannot be written: permission denied"}
		}, []string{"durable write: not measured: the journal's folder cannot be written: permission denied"}},
	} {
		t.Run(name, func(t *testing.T) {
			r := whole()
			c.change(&r)
			lines := strings.Split(r.Text(), "\n")
			for _, want := range c.want {
				if !contains(lines, want) {
					t.Errorf("no line %q in\n%s", want, r.Text())
				}
			}
		})
	}
}

func contains(lines []string, want string) bool {
	for _, line := range lines {
		if line == want {
			return true
		}
	}
	return false
}

// A report can be pasted anywhere: every line is a name and a value, and holds
// nothing but ASCII.
func TestReportIsMadeToBePasted(t *testing.T) {
	line := regexp.MustCompile(`^[A-Za-z_ 8-]+: [ -~]+$`)
	for _, r := range []probe.Report{whole(), {}, {NotAsked: probe.NoScreen}} {
		r.MarkKeys = []string{"space"}
		r.Facts.Barline, r.Facts.Go, r.Facts.System, r.Colours, r.Ground = "v1", "go1", "x/y", "16", "dark"
		for _, text := range strings.Split(strings.TrimSuffix(r.Text(), "\n"), "\n") {
			if !line.MatchString(text) {
				t.Errorf("%q is no name and value", text)
			}
		}
	}
}

func TestMeasuringEndsWhereNobodyAnswers(t *testing.T) {
	var d probe.Delays
	if d.Over() {
		t.Error("over before the first")
	}
	if !d.With(0, probe.Silent).Over() {
		t.Error("goes on though the first got no answer")
	}
	d = d.With(ms, probe.Answered)
	for i := 1; i < probe.Moments; i++ {
		if d.Over() {
			t.Fatalf("over after %d", i)
		}
		d = d.With(0, probe.Silent)
	}
	if !d.Over() {
		t.Error("not over after all moments")
	}
}
