package tui_test

import (
	"io"
	"strings"
	"testing"
	"time"
)

// A terminal that takes nothing holds up nobody, gets no frames of long ago
// when it goes on, and loses no code that changes what it does.
func TestATerminalThatIsHeldUpHoldsUpNobody(t *testing.T) {
	terminal, out := pipe(t)
	repainted := make(chan struct{}, 8)
	terminal.OnRepaint(func() { repainted <- struct{}{} })
	written := make(chan struct{})
	go func() {
		defer close(written)
		terminal.Write([]byte(strings.Repeat("x", 200_000))) // more than a pipe holds
		time.Sleep(150 * time.Millisecond)
		for range 50 {
			terminal.Write([]byte("old frame\r\n"))
		}
		terminal.Write([]byte("\x1b[?1049l\r\x1b[?25h"))
	}()
	select {
	case <-written:
	case <-time.After(20 * time.Second):
		t.Fatal("a write waits for the terminal")
	}
	select {
	case <-repainted:
		t.Fatal("the screen is asked for while the terminal takes nothing")
	default:
	}
	read := make(chan string)
	go func() {
		all, _ := io.ReadAll(out)
		read <- string(all)
	}()
	<-repainted
	terminal.Write([]byte("new frame"))
	terminal.Drain()
	terminal.File.Close()
	if got := strings.TrimLeft(<-read, "x"); got != "\x1b[?1049l\r\x1b[?25hnew frame" {
		t.Errorf("behind what held it up came %q", got)
	}
	if len(repainted) > 0 {
		t.Error("the screen is asked for twice")
	}
}

// One that keeps up gets all, in order.
func TestATerminalThatKeepsUpGetsEveryFrame(t *testing.T) {
	terminal, out := pipe(t)
	terminal.OnRepaint(func() { t.Error("the screen is asked for anew") })
	read := make(chan string)
	go func() {
		all, _ := io.ReadAll(out)
		read <- string(all)
	}()
	for range 200 {
		terminal.Write([]byte("a"))
		terminal.Write([]byte("b"))
		terminal.Drain()
	}
	terminal.File.Close()
	if got := <-read; got != strings.Repeat("ab", 200) {
		t.Errorf("%q", got)
	}
}
