package rehearsal_test

import (
	"runtime"
	"testing"

	"barline/tui/rehearsal"
)

// What a take holds does not grow with its length: a routine of nine minutes,
// drawn five times a second and performed in full, holds no more at its end
// than behind its first minute, but for its events.
func TestMemoryStaysFlat(t *testing.T) {
	p := begun(t, 80, 24, rehearsal.Options{Plan: plan(t, "three"), Recorder: idle{}})
	second := func(at float64) {
		p.perform(at, 0.1)
		for i := range 5 {
			p.wait(at + 0.2*float64(i))
			p.page.Draw()
		}
	}
	for at := 1.0; at < 60; at++ {
		second(at)
	}
	before := held()
	for at := 60.0; at < 560; at++ {
		second(at)
	}
	whole := held()
	events := len(p.page.Run().Events())
	t.Logf("held %d KiB behind a minute, %d KiB behind nine, with %d events", before>>10, whole>>10, events)
	if grown := whole - before; grown > mostGrown {
		t.Errorf("it has grown by %d KiB", grown>>10)
	}
	if events < 15 {
		t.Errorf("it was not performed: %d events", events)
	}
}

// mostGrown is far less than a byte for each cell of each frame, or an event
// for each tick, would come to: the events of a take and the heap's own
// unrest.
const mostGrown = 64 << 10

// held is how much is held once nothing that can be let go is.
func held() int64 {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}
