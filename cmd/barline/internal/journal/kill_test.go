package journal_test

import (
	"bufio"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"barline/cmd/barline/internal/journal"
)

// campaign returns how often something is done: a few times in every run, and
// 1,000 times where BARLINE_CAMPAIGN is 1, else as often as it says.
func campaign(t testing.TB, few int) int {
	t.Helper()
	n, err := strconv.Atoi(os.Getenv("BARLINE_CAMPAIGN"))
	switch {
	case err != nil:
		return max(few/slower, 2)
	case n == 1:
		return 1000
	}
	return n
}

// TestNothingThatWasDurableIsLostWhenTheProgramIsKilled kills a helper that
// brews without pause at a random moment, again and again over one file, and
// looks for every event whose Append had returned.
func TestNothingThatWasDurableIsLostWhenTheProgramIsKilled(t *testing.T) {
	killing(t, 1, campaign(t, 12))
}

// TestTwoTerminalsBrewIntoOneFile does the same with two helpers at once.
func TestTwoTerminalsBrewIntoOneFile(t *testing.T) {
	killing(t, 2, campaign(t, 8))
}

func killing(t *testing.T, writers, rounds int) {
	t.Parallel()
	const perFile = 25 // so that looking through all of a file stays quick
	dice := rand.New(rand.NewPCG(3, uint64(writers)))
	brews, events, cutOff := 0, 0, 0
	for done := 0; done < rounds && !t.Failed(); done += perFile {
		path := filepath.Join(t.TempDir(), "journal.db")
		durable := map[string]int{} // of each brew, how many events
		for range min(perFile, rounds-done) {
			killOnce(t, path, writers, dice, durable)
			look(t, path, durable)
		}
		page, err := open(t, path).List(ctx, journal.Filter{End: journal.CutOff}, journal.Cursor{}, 1<<20)
		must(t, err)
		brews, cutOff = brews+len(durable), cutOff+len(page.Brews)
		for _, n := range durable {
			events += n
		}
	}
	if events < rounds {
		t.Errorf("only %d events were durable in %d rounds: the test does not test", events, rounds)
	}
	if cutOff > rounds*writers {
		t.Errorf("%d brews were cut off in %d rounds of %d writers", cutOff, rounds, writers)
	}
	t.Logf("%d kills of %d at once: %d brews with %d durable events, all there; %d brews cut off; the file opened and verified each time",
		rounds, writers, brews, events, cutOff)
}

func killOnce(t *testing.T, path string, writers int, dice *rand.Rand, durable map[string]int) {
	t.Helper()
	var said []*bufio.Scanner
	var kill []func() error
	for range writers {
		cmd, lines := helper(t, "brew", path)
		said = append(said, lines)
		kill = append(kill, cmd.Process.Kill)
	}
	for _, lines := range said {
		await(t, lines, "ready")
	}
	time.Sleep(time.Duration(dice.IntN(100_000)) * time.Microsecond)
	for _, k := range kill {
		must(t, k())
	}
	for _, lines := range said {
		for lines.Scan() {
			words := strings.Fields(lines.Text())
			if len(words) != 3 || words[0] != "durable" || len(words[1]) != 36 {
				if len(words) > 0 && words[0] == "error" {
					t.Errorf("the helper says %q", lines.Text())
				}
				continue // the kill broke it off
			}
			if n, err := strconv.Atoi(words[2]); err == nil {
				durable[words[1]] = max(durable[words[1]], n+1)
			}
		}
	}
}

// look opens the file as the next start does.
func look(t *testing.T, path string, durable map[string]int) {
	t.Helper()
	j, err := journal.Open(path, journal.Options{Busy: 10 * time.Second})
	if err != nil {
		t.Errorf("it does not open: %v", err)
		return
	}
	defer j.Close()
	for id, events := range durable {
		r, err := j.Load(ctx, id)
		if err != nil {
			t.Errorf("brew %s with %d durable events: %v", id, events, err)
			continue
		}
		if len(r.Events) < events {
			t.Errorf("brew %s has %d events, but %d were durable", id, len(r.Events), events)
		}
		if r.End == journal.Running {
			t.Errorf("brew %s is said to be running", id)
		}
	}
	sound(t, j)
}

// TestALiveBrewIsNotTakenUp asks while another process brews, and after it was
// killed.
func TestALiveBrewIsNotTakenUp(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal.db")
	j := open(t, path)
	id := idAt(time.Now())
	cmd, lines := helper(t, "live", path, id)
	await(t, lines, "live")
	now := journal.Now{Wall: time.Now().Add(40 * time.Second)} // its last mark is at 0:20
	if got := load(t, j, id); got.End != journal.Running || len(got.Events) != 2 {
		t.Errorf("it is %q with %d events", got.End, len(got.Events))
	}
	if _, _, err := j.TakeUp(ctx, id, now); err != journal.ErrLive {
		t.Errorf("taking it up: %v", err)
	}
	if err := j.Forget(ctx, id); err != journal.ErrLive {
		t.Errorf("forgetting it: %v", err)
	}
	if cut, err := j.Interrupted(ctx, now, 10); err != nil || len(cut) != 0 {
		t.Errorf("it is offered: %v, %v", cut, err)
	}
	for end, want := range map[journal.End]int{journal.Running: 1, journal.CutOff: 0} {
		if page, err := j.List(ctx, journal.Filter{End: end}, journal.Cursor{}, 10); err != nil || len(page.Brews) != want {
			t.Errorf("%d are listed as %s: %v", len(page.Brews), end, err)
		}
	}
	locks := func() int {
		files, err := os.ReadDir(path + "-live")
		must(t, err)
		return len(files)
	}
	open(t, path).Close()
	if n := locks(); n != 1 {
		t.Errorf("opening the file while it is brewed leaves %d locks", n)
	}
	must(t, cmd.Process.Kill())
	cmd.Wait()
	if got := load(t, j, id); got.End != journal.CutOff {
		t.Errorf("after the kill it is %q", got.End)
	}
	open(t, path).Close()
	if n := locks(); n != 0 {
		t.Errorf("opening the file after the kill leaves %d locks", n)
	}
	cut, err := j.Interrupted(ctx, now, 10)
	if err != nil || len(cut) != 1 || cut[0].ID != id || cut[0].Err != nil {
		t.Fatalf("after the kill %+v is offered: %v", cut, err)
	}
	rec, in, err := j.TakeUp(ctx, id, now)
	must(t, err)
	if in.By != journal.Wall {
		t.Errorf("by %s", in.By)
	}
	if _, _, err := open(t, path).TakeUp(ctx, id, now); err != journal.ErrLive {
		t.Errorf("taking it up twice: %v", err)
	}
	must(t, rec.End(ctx))
	if n := locks(); n != 0 {
		t.Errorf("%d locks are left", n)
	}
}
