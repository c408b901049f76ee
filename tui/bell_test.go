package tui_test

import (
	"bytes"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"barline/tui"
)

// pipe returns a terminal that is a pipe, and what comes out of it.
func pipe(t *testing.T) (*tui.Terminal, *os.File) {
	t.Helper()
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close(); w.Close() })
	return tui.NewTerminal(w), r
}

func TestTheBellNeverLandsInsideAFrame(t *testing.T) {
	terminal, out := pipe(t)
	// A frame larger than what a pipe takes at once is written in pieces.
	frame := []byte("<" + strings.Repeat("x", 200_000) + ">")
	const frames = 30
	written := make(chan struct{})
	go func() {
		defer close(written)
		for range frames {
			terminal.Write(frame)
			terminal.Drain()
		}
	}()
	var all bytes.Buffer
	read := make(chan struct{})
	go func() {
		defer close(read)
		io.Copy(&all, out)
	}()
	for ringing := true; ringing; {
		select {
		case <-written:
			ringing = false
		default:
			terminal.Ring(1)
			time.Sleep(time.Millisecond)
		}
	}
	terminal.Ring(1)
	time.Sleep(50 * time.Millisecond)
	terminal.File.Close()
	<-read
	if bells := bytes.Count(all.Bytes(), []byte("\a")); bells == 0 {
		t.Error("the bell did not ring")
	}
	if got := bytes.ReplaceAll(all.Bytes(), []byte("\a"), nil); !bytes.Equal(got, bytes.Repeat(frame, frames)) {
		t.Error("the frames are not whole")
	}
	for i, part := range bytes.Split(all.Bytes(), []byte("<")) {
		if inside, _, _ := bytes.Cut(part, []byte(">")); i > 0 && bytes.Contains(inside, []byte("\a")) {
			t.Error("a bell rang inside a frame")
		}
	}
}

func TestStrokesThatComeTooLateAreDropped(t *testing.T) {
	terminal, out := pipe(t)
	terminal.Write(bytes.Repeat([]byte("x"), 200_000)) // it takes nothing for a while
	time.Sleep(50 * time.Millisecond)
	terminal.Ring(2)
	time.Sleep(50 * time.Millisecond) // the bell waits for the terminal now
	terminal.Ring(2)
	terminal.Ring(1) // makes the one before give way
	time.Sleep(400 * time.Millisecond)
	var all bytes.Buffer
	read := make(chan struct{})
	go func() {
		defer close(read)
		io.Copy(&all, out)
	}()
	terminal.Drain()
	time.Sleep(300 * time.Millisecond)
	terminal.File.Close()
	<-read
	if got := strings.Trim(all.String(), "x"); got != "" {
		t.Errorf("%d strokes came late", len(got))
	}
}

func TestTwoStrokesAreHeardAsTwo(t *testing.T) {
	terminal, out := pipe(t)
	terminal.Ring(2)
	var at []time.Time
	b := make([]byte, 1)
	for range 2 {
		if _, err := out.Read(b); err != nil || b[0] != '\a' {
			t.Fatal(err, b)
		}
		at = append(at, time.Now())
	}
	if gap := at[1].Sub(at[0]); gap < 100*time.Millisecond {
		t.Errorf("the strokes are %s apart", gap)
	}
}
