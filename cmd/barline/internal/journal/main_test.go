package journal_test

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"barline/brew"
	"barline/cmd/barline/internal/journal"
)

// The test binary is its own helper: started with BARLINE_HELPER it does one
// thing to a journal, as another terminal would.
const helperKey = "BARLINE_HELPER"

func TestMain(m *testing.M) {
	if what := os.Getenv(helperKey); what != "" {
		help(what, os.Args[1:])
		return
	}
	code := m.Run()
	if manyPath != "" {
		os.RemoveAll(filepath.Dir(manyPath))
	}
	os.Exit(code)
}

func help(what string, args []string) {
	do := map[string]func([]string) error{"brew": helpBrew, "hold": helpHold, "live": helpLive}[what]
	if err := do(args); err != nil {
		fmt.Println("error", err)
		os.Exit(1)
	}
}

// helper starts the test binary to do something, and returns it with what it
// prints.
func helper(t testing.TB, what string, args ...string) (*exec.Cmd, *bufio.Scanner) {
	t.Helper()
	cmd := exec.Command(os.Args[0], args...)
	cmd.Env = append(os.Environ(), helperKey+"="+what)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		cmd.Process.Kill()
		cmd.Wait()
	})
	return cmd, bufio.NewScanner(out)
}

// await reads lines until one is as wanted.
func await(t testing.TB, lines *bufio.Scanner, want string) {
	t.Helper()
	for lines.Scan() {
		if lines.Text() == want {
			return
		}
		t.Fatalf("the helper says %q, want %q", lines.Text(), want)
	}
	t.Fatalf("the helper ended before it said %q", want)
}

// helpBrew brews one brew after the other without end, and prints
// 'durable ID N' for each event when its Append has returned.
func helpBrew(args []string) error {
	j, err := journal.Open(args[0], journal.Options{Busy: 20 * time.Second})
	if err != nil {
		return err
	}
	p := planOf(panicker{}, quick)
	fmt.Println("ready")
	for n := 0; ; n++ {
		r := brewed(p, time.Now())
		r.ID, r.Lot = "", strconv.Itoa(n)
		rec, err := j.Begin(r)
		if err != nil {
			return err
		}
		for seq, e := range follow(p) {
			if err := rec.Append(seq, e); err != nil {
				return err
			}
			os.Stdout.WriteString("durable " + rec.ID() + " " + strconv.Itoa(seq) + "\n")
		}
		taken := time.Now()
		weight := 180.5
		if err := rec.Reading(journal.Reading{What: journal.BeverageWeight, Value: &weight, Taken: taken}); err != nil {
			return err
		}
		if err := rec.End(ctx); err != nil {
			return err
		}
	}
}

// quick is a recipe with a few beats.
var quick = brew.Recipe{
	Name: "Quayside quick", Method: brew.PressMethod, Dose: 15 * brew.Gram, Water: 200 * brew.Gram, Temperature: 90,
	Steps: []brew.Step{
		{Action: brew.Pour, Amount: 200 * brew.Gram, Over: 20 * time.Second},
		{Action: brew.Lift},
		{Action: brew.Press, Over: 20 * time.Second, Anchor: brew.At, Offset: 60 * time.Second},
	},
}

// panicker is a testing.TB for the helper, which has no test.
type panicker struct{ testing.TB }

func (panicker) Helper()             {}
func (panicker) Fatal(args ...any)   { panic(fmt.Sprint(args...)) }
func (panicker) Cleanup(func())      {}
func (panicker) Logf(string, ...any) {}

// helpHold holds the file's write lock for a while.
func helpHold(args []string) error {
	db := raw(panicker{}, args[0])
	for _, s := range []string{"BEGIN EXCLUSIVE", "UPDATE brews SET lot = lot"} {
		if _, err := db.Exec(s); err != nil {
			return err
		}
	}
	fmt.Println("holding")
	d, err := time.ParseDuration(args[1])
	if err != nil {
		return err
	}
	time.Sleep(d)
	if _, err := db.Exec("COMMIT"); err != nil {
		return err
	}
	fmt.Println("let go")
	return nil
}

// helpLive begins a brew, with a start and a first mark, and stays there.
func helpLive(args []string) error {
	j, err := journal.Open(args[0], journal.Options{})
	if err != nil {
		return err
	}
	r := brewed(planOf(panicker{}, quick), time.Now())
	r.ID = args[1]
	rec, err := j.Begin(r)
	if err != nil {
		return err
	}
	for seq, e := range follow(r.Plan)[:2] {
		if err := rec.Append(seq, e); err != nil {
			return err
		}
	}
	fmt.Println("live")
	time.Sleep(time.Hour)
	return nil
}

// inside runs the calling test again in a process of its own, within a mount
// namespace that a shell command has prepared, where $DIR is a folder of the
// test's. It returns that folder there, and "" here. Where the machine does not
// permit it the test is skipped.
func inside(t *testing.T, prepare string) string {
	t.Helper()
	if os.Getenv("BARLINE_INSIDE") == t.Name() {
		return os.Getenv("DIR")
	}
	if err := exec.Command("unshare", "--mount", "true").Run(); err != nil {
		t.Skipf("SKIPPED, NOT TESTED: mounting is not permitted here: %v", err)
	}
	script := "set -e; " + prepare + "; exec \"$0\" -test.run '^" + t.Name() + "$' -test.v"
	cmd := exec.Command("unshare", "--mount", "sh", "-c", script, os.Args[0])
	cmd.Env = append(os.Environ(), "BARLINE_INSIDE="+t.Name(), "DIR="+t.TempDir())
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Errorf("%v\n%s", err, out)
	}
	if !strings.Contains(string(out), "--- PASS: "+t.Name()) {
		t.Errorf("it did not run:\n%s", out)
	}
	return ""
}
