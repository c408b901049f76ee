//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// BenchmarkRunning measures what the first minute of a brew of the shipped
// press takes, without a mark: the processor, frames and bytes. Its terminals
// say, when they are asked, that they know synchronised output, so that each frame has an end.
func BenchmarkRunning(b *testing.B) {
	barline := built(b, ".")
	const length = time.Minute
	sizes := []struct{ width, height uint16 }{{80, 24}, {200, 60}}
	var programs []*seated
	for _, size := range sizes {
		home := b.TempDir()
		s := sit(b, size.width, size.height, home, barline, "brew", "quayside-press", "--journal", filepath.Join(home, "journal.db"))
		s.await(b, "[ ]", 0, 10*time.Second)
		s.press(b, "\x1b[?2026;2$y")
		time.Sleep(200 * time.Millisecond)
		s.press(b, "s")
		s.start(b)
		programs = append(programs, s)
	}
	before := make([]usage, len(programs))
	for i, s := range programs {
		before[i] = s.usage(b)
	}
	time.Sleep(length)
	b.ReportMetric(0, "ns/op")
	for i, s := range programs {
		size := fmt.Sprintf("%dx%d", sizes[i].width, sizes[i].height)
		used := s.usage(b).since(before[i])
		frames, bytes := float64(used.frames)/used.took.Seconds(), float64(used.bytes)/used.took.Seconds()
		b.ReportMetric(100*used.processor.Seconds()/used.took.Seconds(), "%-of-a-core-"+size)
		b.ReportMetric(frames, "frames/s-"+size)
		b.ReportMetric(bytes, "B/s-"+size)
		b.Logf("%s: %s of a core, %.1f frames and %.0f bytes a second", size, percent(used.processor, used.took), frames, bytes)
		if used.frames == 0 {
			b.Errorf("%s: no frame came", size)
		}
	}
}

// usage is what a program has used since it began.
type usage struct {
	took, processor time.Duration
	frames, bytes   int
}

func (u usage) since(before usage) usage {
	return usage{u.took - before.took, u.processor - before.processor, u.frames - before.frames, u.bytes - before.bytes}
}

func (s *seated) usage(t testing.TB) usage {
	t.Helper()
	s.mu.Lock()
	defer s.mu.Unlock()
	return usage{elapsed(), s.processor(t), bytes.Count(s.all, []byte("\x1b[?2026l")), len(s.all)}
}

// processor returns how long the program has had a processor, in steps of a
// hundredth of a second: proc(5), /proc/pid/stat, fields 14 and 15.
func (s *seated) processor(t testing.TB) time.Duration {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", s.cmd.Process.Pid))
	if err != nil {
		t.Skip("SKIPPED, NOT MEASURED: this system does not tell:", err)
	}
	fields := strings.Fields(string(text[bytes.LastIndexByte(text, ')')+1:])) // from the third on
	user, _ := strconv.Atoi(fields[11])
	system, _ := strconv.Atoi(fields[12])
	return time.Duration(user+system) * time.Second / 100
}

// BenchmarkMemory measures how much memory the program holds after brews made
// one after the other from its shelf, each with its record on the disk.
func BenchmarkMemory(b *testing.B) {
	home := b.TempDir()
	write(b, home, "own/tiny.yaml", "name: A tiny cup\nmethod: cone\ndose: 1 g\nwater: 15 g\ntemperature: 93 °C\ngrind: medium\nsteps:\n  - {pour: to 15 g, over: 0.3 s}\n")
	s := sit(b, 80, 24, home, built(b, "."), "--recipes", filepath.Join(home, "own"), "--journal", filepath.Join(home, "journal.db"))
	_, place := s.await(b, "> A tiny cup", 0, 10*time.Second)
	brews := measuring(60)
	for n := 1; n <= brews; n++ {
		for _, step := range []struct{ key, brings string }{
			{"\r", "1 g coffee"}, {" ", "water meets coffee"}, {"\x1b[6~", ", by 0:"}, {"\r", "finished at"}, {"q", "what shall it be?"},
		} {
			time.Sleep(150 * time.Millisecond) // the same key again within 700 ms would be taken for held down
			s.press(b, step.key)
			_, place = s.await(b, step.brings, place, 5*time.Second)
		}
		if n == 10 || n == brews || n%20 == 0 {
			resident := s.resident(b)
			b.Logf("after %d brews %.1f MB resident", n, resident)
			b.ReportMetric(resident, fmt.Sprintf("MB-after-%d", n))
		}
	}
	b.ReportMetric(0, "ns/op")
}

// resident returns how much memory the program holds, in MB of 10⁶ bytes:
// proc(5), /proc/pid/status, VmRSS in units of 1024 bytes.
func (s *seated) resident(t testing.TB) float64 {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.cmd.Process.Pid))
	_, value, ok := bytes.Cut(text, []byte("VmRSS:"))
	if err != nil || !ok {
		t.Skip("SKIPPED, NOT MEASURED: this system does not tell:", err)
	}
	kilobytes, _ := strconv.Atoi(strings.Fields(string(value))[0])
	return float64(kilobytes) * 1024 / 1e6
}
