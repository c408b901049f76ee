//go:build unix

package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

// Keys as terminals really send them: held, in bursts, pasted, in pieces, and
// from foot switches. What counts is what the journal holds.

// manyPours returns the program in a brew of thirty pours, one each 750 ms, for
// which a mark is always due.
func manyPours(t *testing.T, config string) *terminal {
	t.Helper()
	recipe := filepath.Join(t.TempDir(), "many.yaml")
	must(t, os.WriteFile(recipe, []byte(marked()), 0o644))
	s := startAt(t, place{config: config}, theProgram(t), "brew", recipe, "--speed", "4")
	s.await("water meets coffee")
	s.press("\r")
	if strings.Contains(config, "keys:") { // and then enter starts nothing
		s.press(strings.Fields(config)[1])
	}
	s.await("p01: Pour 15 g")
	return s
}

// events ends the brew and returns its events, as the journal has them.
func (s *terminal) events() []brew.Event {
	s.t.Helper()
	s.press("\x03")
	s.await("Stop the brew?")
	s.press("y")
	s.await("why stopped")
	s.press("\x03")
	s.await("stopped at 0:")
	s.press("q")
	if code := s.leaves(); code != exitStopped {
		s.t.Errorf("exit code %d", code)
	}
	return s.recorded().Events
}

// recorded returns the only brew of the journal.
func (s *terminal) recorded() journal.Record {
	s.t.Helper()
	j, err := journal.Open(filepath.Join(s.folder, "barline", "journal.db"), journal.Options{Busy: 10 * time.Second})
	must(s.t, err)
	defer j.Close()
	page, err := j.List(context.Background(), journal.Filter{}, journal.Cursor{}, 2)
	must(s.t, err)
	if len(page.Brews) != 1 {
		s.t.Fatalf("%d brews in the journal", len(page.Brews))
	}
	r, err := j.Load(context.Background(), page.Brews[0].ID)
	must(s.t, err)
	return r
}

// count returns how many of the events are of a kind.
func count(events []brew.Event, kind brew.EventKind) int {
	n := 0
	for _, e := range events {
		if e.Kind == kind {
			n++
		}
	}
	return n
}

// send types without the pauses that press makes.
func (s *terminal) send(keys string) {
	s.t.Helper()
	if _, err := s.ours.WriteString(keys); err != nil {
		s.t.Fatal(err)
	}
}

// Keys of foot switches, in all the ways in which terminals send them.
func TestKeysOfFootSwitches(t *testing.T) {
	for config, sent := range map[string][]string{
		"":                        {" ", "\r", "\x1b[6~"},
		"keys: f1 f5 f12 7 o end": {"\x1bOP", "\x1b[[A", "\x1b[15~", "\x1b[24~", "7", "o", "\x1b[F", "\x1b[4~"},
	} {
		t.Run(config, func(t *testing.T) {
			t.Parallel()
			if config != "" {
				config += "\n"
			}
			s := manyPours(t, config)
			for _, keys := range sent {
				time.Sleep(760 * time.Millisecond)
				s.send(keys)
			}
			if strings.Contains(config, "keys:") { // then the usual ones mark no more
				s.send(" \r\x1b[6~")
			}
			time.Sleep(300 * time.Millisecond)
			events := s.events()
			if n := count(events, brew.EventMark); n != len(sent) {
				t.Errorf("%d keys made %d marks", len(sent), n)
			}
			foot := slices.ContainsFunc(events, func(e brew.Event) bool { return e.Source == brew.FromFootSwitch })
			if foot != (config == "") {
				t.Errorf("by a foot switch: %t", foot)
			}
		})
	}
}

// A key that clashes with another, or that there is not, is refused with its
// place in the file, and nothing is brewed.
func TestMarkKeysThatCannotBe(t *testing.T) {
	for keys, says := range map[string]string{
		"space u": `config.yaml:2:7: error: keys "u" is the key for "take back" already`,
		"f5 k":    `config.yaml:2:7: error: keys "k" is the key for "scroll up" already`,
		"pedal":   `config.yaml:2:7: error: keys "pedal" is no key`,
		"f21":     `config.yaml:2:7: error: keys "f21" is no key`,
		"f05":     `config.yaml:2:7: error: keys "f05" is no key`,
		"f+5":     `config.yaml:2:7: error: keys "f+5" is no key`,
		"\u200b":  `config.yaml:2:7: error: keys`, // which no keyboard has
	} {
		t.Run(keys, func(t *testing.T) {
			t.Parallel()
			s := startAt(t, place{config: "by: Ada\nkeys: " + keys + "\n"}, theProgram(t), "brew", "a-fast-cup")
			if code := s.leaves(); code != exitInput || strings.Contains(s.written(), "\x1b") {
				t.Errorf("exit code %d, and it wrote %q", code, s.written())
			}
			s.await("hint:")
			if !strings.Contains(squeezed(s.text()), squeezed(says)) {
				t.Errorf("it does not say %q but\n%s", says, s.text())
			}
		})
	}
}

// hold sends a key as a terminal does that is held down: at once, after the
// delay, and then again and again, some of it in one piece where the program
// reads late.
func (s *terminal) hold(key string, delay, each, long time.Duration, pieces int) {
	s.send(key)
	s.soon(delay, 690*time.Millisecond)
	n := 0
	for began := time.Now(); time.Since(began) < long; s.soon(each, 130*time.Millisecond) {
		s.send(strings.Repeat(key, 1+n%pieces))
		n++
	}
}

// soon sleeps, and skips the test where it sleeps for too long: what follows
// would not be what the test is about.
func (s *terminal) soon(sleep, most time.Duration) {
	began := time.Now()
	time.Sleep(sleep)
	if slept := time.Since(began); slept > most {
		s.t.Skipf("SKIPPED: the machine is too busy to type: %s have become %s", sleep, slept)
	}
}

func TestAKeyThatIsHeldIsOneMark(t *testing.T) {
	const ms = time.Millisecond
	for name, c := range map[string]struct {
		config, key string
		delay, each time.Duration
		pieces      int
	}{
		"as soon and as often as there is": {"", " ", 200 * ms, 15 * ms, 1},
		"late and seldom":                  {"", " ", 600 * ms, 60 * ms, 1},
		"of a foot switch":                 {"", "\x1b[6~", 250 * ms, 33 * ms, 1},
		"in bursts":                        {"", "\r", 400 * ms, 60 * ms, 5},
		"a letter":                         {"keys: o\n", "o", 400 * ms, 33 * ms, 1},
		"a letter, in bursts":              {"keys: o\n", "o", 400 * ms, 60 * ms, 5},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			// On a busy machine repeats come to the program with pauses as
			// between presses: it has three tries.
			var marks []int
			for range 3 {
				s := manyPours(t, c.config)
				time.Sleep(800 * ms)
				s.hold(c.key, c.delay, c.each, 2500*ms, c.pieces)
				time.Sleep(100 * ms)
				n := count(s.events(), brew.EventMark)
				if n == 1 {
					return
				}
				marks = append(marks, n)
			}
			t.Errorf("%v marks", marks)
		})
	}
}

// stopAndOn is the program stopped and continued, among what is typed.
const stopAndOn = "stop and on"

// A paste is none of its letters, however it comes and however long it is.
func TestAPasteMarksNothing(t *testing.T) {
	const paste = "\x1b[200~ m\r\n u s f q y \x1b[6~ \x03\x1b[201~"
	for name, pieces := range map[string][]string{
		"whole":                      {paste},
		"twice at once":              {paste + paste},
		"its beginning in pieces":    {"\x1b", "[2", "00~ \r", " q y ", "\x1b[20", "1~"},
		"its end in pieces":          {"\x1b[200~ \r q y \x1b", "[201~"},
		"behind an escape":           {"\x1b" + paste, "\x1b", "\x1b[200~ \r y \x1b[201~"},
		"with a stop in it":          {"\x1b[200~ \r", stopAndOn, " q y \r", stopAndOn, " \r y \x1b[201~"},
		"cut where the reading ends": {strings.Repeat("x", 117) + paste, strings.Repeat("x", 237) + paste, strings.Repeat("x", 126) + paste, strings.Repeat("x", 254) + paste},
		"that is never ended":        {"\x1b[200~ \r q y"},
		"long":                       {"\x1b[200~" + strings.Repeat(" \rq y", 20_000) + "\x1b[201~"},
		"without brackets, letters":  {"mmuqqyy"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := manyPours(t, "")
			time.Sleep(800 * time.Millisecond)
			for _, piece := range pieces {
				if piece == stopAndOn {
					must(t, s.cmd.Process.Signal(syscall.SIGTSTP))
					s.goesOn()
				} else {
					s.send(piece)
				}
				s.soon(8*time.Millisecond, 35*time.Millisecond)
			}
			time.Sleep(2500 * time.Millisecond)
			s.send("e") // is a key again, which says that there is no mark
			s.await("there is no mark")
			if events := s.events(); count(events, brew.EventMark) != 0 || len(events) != 2 {
				t.Errorf("events %+v", events)
			}
		})
	}
}

// The code of a key that comes in pieces, cut at each of its bytes, is that
// key. On a busy machine the pieces come to the program further apart than they
// are sent: it has three tries.
func TestAKeyInPiecesIsThatKey(t *testing.T) {
	t.Parallel()
	var marks []int
	for range 3 {
		sent, made := keysInPieces(t)
		if made > sent {
			t.Fatalf("%d keys made %d marks", sent, made)
		}
		if made == sent {
			return
		}
		marks = append(marks, made)
	}
	t.Errorf("%v marks", marks)
}

// keysInPieces sends mark keys in two pieces each, and returns how many those
// were and how many marks there are.
func keysInPieces(t *testing.T) (sent, made int) {
	t.Helper()
	s := manyPours(t, "keys: 1 page-down f5 é\n")
	for cut := 1; cut < 5; cut++ {
		for _, code := range []string{"\x1b[6~", "\x1b[15~", "é"} {
			if cut < len(code) {
				time.Sleep(300 * time.Millisecond)
				s.send(code[:cut])
				time.Sleep(10 * time.Millisecond)
				s.send(code[cut:])
				sent++
			}
			time.Sleep(200 * time.Millisecond)
		}
	}
	time.Sleep(200 * time.Millisecond)
	events := s.events()
	made = count(events, brew.EventMark)
	if len(events) != made+2 {
		t.Errorf("the keys did something else as well: %+v", events)
	}
	return sent, made
}

// Where the pieces come so late that the first is an escape, nothing is done
// that cannot be undone, and what was typed of a note is kept.
func TestAKeyInPiecesFarApartIsHarmless(t *testing.T) {
	t.Parallel()
	s := manyPours(t, "")
	for _, code := range []string{"\x1b[5~", "\x1b[A", "\x1bOP", "\x1b[1;5C", "\x1b[15~"} {
		for cut := 1; cut < len(code); cut++ {
			s.send(code[:cut])
			time.Sleep(100 * time.Millisecond)
			s.send(code[cut:])
			time.Sleep(20 * time.Millisecond)
		}
	}
	s.press("n")
	s.await("note: _")
	s.press("slow kettle")
	s.await("note: slow kettle_")
	s.send("\x1b")
	time.Sleep(300 * time.Millisecond)
	s.send("[A")
	time.Sleep(50 * time.Millisecond)
	s.await("put aside; n goes on with the note")
	s.press("n")
	s.await("note: slow kettle_")
	s.press(", twice\r")
	s.await("noted")
	s.press("n")
	s.await("note: _")
	s.press("\x1b")
	s.awaitAll("Pour 15 g", "note: ")
	events := s.events()
	if n := count(events, brew.EventMark); n != 0 || count(events, brew.EventNote) != 1 || len(events) != 3 {
		t.Errorf("events %+v", events)
	}
	for _, e := range events {
		if e.Kind == brew.EventNote && e.Text != "slow kettle, twice" {
			t.Errorf("noted %q", e.Text)
		}
	}
}

// Different keys in quick succession all count, in their order.
func TestABurstOfKeys(t *testing.T) {
	t.Parallel()
	s := manyPours(t, "")
	time.Sleep(2300 * time.Millisecond)
	s.send(" \x1b[6~\r")
	time.Sleep(800 * time.Millisecond)
	s.send("\x1b[6~u \x7f")
	time.Sleep(300 * time.Millisecond)
	events := s.events()
	var kinds []string
	for _, e := range events {
		kinds = append(kinds, fmt.Sprint(e.Kind))
	}
	if want := "start mark mark mark mark undo mark undo stop"; strings.Join(kinds, " ") != want {
		t.Errorf("%v, want %s", kinds, want)
	}
}
