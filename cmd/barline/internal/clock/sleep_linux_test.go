package clock_test

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"testing"
	"time"

	"barline/cmd/barline/internal/clock"
)

// TestASleepInATimeNamespace takes one reading here and one in a time namespace
// whose boottime is an hour ahead, which is just how a sleep of an hour looks
// to a program.
func TestASleepInATimeNamespace(t *testing.T) {
	const key = "BARLINE_CLOCK"
	if os.Getenv(key) != "" {
		text, err := json.Marshal(struct {
			clock.Reading
			Boot string
		}{clock.Machine{}.Now(), clock.Machine{}.Boot()})
		if err != nil {
			t.Fatal(err)
		}
		os.Stdout.WriteString("reading " + string(text) + "\n")
		return
	}
	if err := exec.Command("unshare", "--time", "--boottime", "3600", "true").Run(); err != nil {
		t.Skipf("SKIPPED, NOT TESTED: time namespaces are not permitted here: %v", err)
	}
	before := clock.Machine{}.Now()
	cmd := exec.Command("unshare", "--time", "--boottime", "3600", os.Args[0], "-test.run", "^TestASleepInATimeNamespace$")
	cmd.Env = append(os.Environ(), key+"=1")
	began := time.Now()
	out, err := cmd.Output()
	most := time.Since(began)
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	var there struct {
		clock.Reading
		Boot string
	}
	line := out[len("reading "):]
	if err := json.NewDecoder(bytes.NewReader(line)).Decode(&there); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	after := there.Reading
	if d := after.Since(before) - time.Hour; d < 0 || d > most {
		t.Errorf("%s passed, want an hour and up to %s", after.Since(before), most)
	}
	if d := after.Wall.Sub(before.Wall); d < 0 || d > most+time.Second {
		t.Errorf("the wall moved by %s", d)
	}
	s, slept := after.SleptSince(before)
	if off := (s.Length - time.Hour).Abs(); !slept || !s.Certain || off > 5*time.Millisecond {
		t.Errorf("slept %v, %+v, off by %s", slept, s, off)
	}
	if s.String() != "the machine slept for 60 min" {
		t.Errorf("it says %q", s)
	}
	if there.Boot != (clock.Machine{}).Boot() || there.Boot == "" {
		t.Errorf("the boot is %q there, and %q here", there.Boot, clock.Machine{}.Boot())
	}
}
