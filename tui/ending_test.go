//go:build unix

package tui_test

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"barline/brew"
	"barline/tui"
	"barline/tui/live"

	"github.com/charmbracelet/x/term"
	"github.com/creack/pty"
)

// breaks is the variable by which this test binary becomes a program that
// breaks in a named way.
const breaks = "BARLINE_TEST_BREAKS"

func TestMain(m *testing.M) {
	if how := os.Getenv(breaks); how != "" {
		os.Exit(breaking(how))
	}
	os.Exit(m.Run())
}

// breaking runs a program that breaks, and returns 134 where Run says so.
func breaking(how string) int {
	terminal, err := tui.OpenTerminal(os.Stdin, os.Stdout)
	if err != nil {
		fmt.Println(err)
		return 1
	}
	began := time.Now()
	opt := tui.Options{Now: func() time.Duration { return time.Since(began) }}
	page := live.New(live.Options{Plans: []*brew.Plan{{Name: "x", Cues: []brew.Cue{{Prompt: "x"}}}}, Keys: live.DefaultKeys(), Now: opt.Now})
	switch how {
	case "update": // the filter runs in the same loop, ahead of Update
		opt.Now = func() time.Duration { panic("broken in Update") }
	case "view":
		page = live.New(live.Options{Plans: []*brew.Plan{{Name: "x"}}, Keys: live.DefaultKeys(), Now: opt.Now})
	case "goroutine":
		terminal.BreakIn(150 * time.Millisecond)
	}
	model := tui.OpenLive(opt, page)
	if how == "command" {
		model = tui.Broken(opt, "broken in a command")
	}
	_, err = tui.Run(model, terminal, func(code int) { os.Exit(code) })
	if err == tui.ErrPanic {
		return 134
	}
	fmt.Println("ended with", err)
	return 1
}

func TestAPanicLeavesTheTerminalAsItWas(t *testing.T) {
	for how, why := range map[string]string{
		"update": "broken in Update", "view": "index out of range", "command": "broken in a command", "goroutine": "broken in a goroutine",
	} {
		t.Run(how, func(t *testing.T) {
			ours, theirs, err := pty.Open()
			if err != nil {
				t.Skip("SKIPPED: no pseudo-terminal to be had:", err)
			}
			defer ours.Close()
			defer theirs.Close()
			pty.Setsize(ours, &pty.Winsize{Cols: 80, Rows: 24})
			before, err := term.GetState(theirs.Fd())
			if err != nil {
				t.Fatal(err)
			}
			cmd := exec.Command(os.Args[0])
			cmd.Env = append(os.Environ(), breaks+"="+how, "TERM=xterm-256color")
			cmd.Stdin, cmd.Stdout, cmd.Stderr = theirs, theirs, theirs
			cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			var mu sync.Mutex
			var said bytes.Buffer
			go func() {
				b := make([]byte, 4096)
				for {
					n, err := ours.Read(b)
					mu.Lock()
					said.Write(b[:n])
					mu.Unlock()
					if err != nil {
						return
					}
				}
			}()
			time.Sleep(300 * time.Millisecond)
			io.WriteString(ours, "x") // a key, for what breaks in Update
			ended := make(chan error, 1)
			go func() { ended <- cmd.Wait() }()
			select {
			case <-ended:
			case <-time.After(5 * time.Second):
				cmd.Process.Kill()
				t.Fatal("the program does not end")
			}
			time.Sleep(50 * time.Millisecond)
			mu.Lock()
			defer mu.Unlock()
			if code := cmd.ProcessState.ExitCode(); code != 134 {
				t.Errorf("exit code %d, want 134; it said %q", code, said.String())
			}
			after, err := term.GetState(theirs.Fd())
			if err != nil {
				t.Fatal(err)
			}
			if *after != *before {
				t.Errorf("the terminal is left with the modes %+v, and had %+v", after, before)
			}
			_, behind, left := strings.Cut(said.String(), "\x1b[?1049l")
			if !left || strings.Contains(behind, "\x1b[?1049h") {
				t.Error("the terminal is left on the other screen")
			}
			if !strings.Contains(behind, why) || strings.Contains(behind, "\x1b[?2026") {
				t.Errorf("on the screen that stays it does not say why, or asks something: %q", behind)
			}
		})
	}
}
