package tui_test

import (
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"barline/tui"
	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
)

// A notice goes when its time is over, though nothing else changes then.
func TestANoticeGoesInTime(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	synctest.Test(t, func(t *testing.T) {
		ses := brewIn(t, plan, live.Options{})
		zero := ses.prepare(plan)
		ses.until(zero + 15300*time.Millisecond)
		ses.press("u")
		ses.until(zero + 22*s)
		ses.shows("there is nothing to take back", zero+15300*time.Millisecond)
		ses.draws(zero + 21300*time.Millisecond)
		ses.stop()
		ses.leave()
	})
}

// Each key sets the alarm anew, and the ones before wake nobody: there is
// never more than one that counts.
func TestAlarmsDoNotPileUp(t *testing.T) {
	plan := shipped(t)["quayside-press.yaml"]
	wakes := func(keys int) (n int64) {
		synctest.Test(t, func(t *testing.T) {
			var rung atomic.Int64
			ses := brewIn(t, plan, live.Options{Slept: func() string { rung.Add(1); return "" }})
			zero := ses.prepare(plan)
			ses.until(zero + 13*s)
			for range keys {
				ses.press("x")
				time.Sleep(20 * time.Millisecond)
			}
			ses.until(zero + 16*s)
			before := rung.Load()
			ses.until(zero + 30*s)
			n = rung.Load() - before
			ses.stop()
			ses.leave()
		})
		return n
	}
	// Once a second, and for what a cue announces and a countdown turns.
	if quiet, busy := wakes(0), wakes(60); busy != quiet || quiet < 14 || quiet > 3*14 {
		t.Errorf("%d alarms in 14 s, and %d behind sixty keys", quiet, busy)
	}
}

// Of commands that are run together each tells of its own panic.
func TestEachCommandOfABatchTellsOfItsPanic(t *testing.T) {
	told := ""
	quiet, breaking := func() tea.Msg { return "fine" }, func() tea.Msg { panic("broken in a batch") }
	cmd := tui.Watched(tea.Batch(quiet, breaking), func(why any, _ []byte) { told = why.(string) })
	batch := cmd().(tea.BatchMsg)
	if msg := batch[0](); msg != "fine" || told != "" {
		t.Errorf("a command that does not break says %v, and tells %q", msg, told)
	}
	defer func() {
		if why := recover(); why != "broken in a batch" || told != why {
			t.Errorf("it breaks with %v, and tells %q", why, told)
		}
	}()
	batch[1]()
}
