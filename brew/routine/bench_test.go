package routine_test

import (
	"testing"
	"time"

	"barline/brew"
	"barline/brew/routine"
)

// BenchmarkSolve is the search for the plan of a routine of two cups, until it
// is proven.
func BenchmarkSolve(b *testing.B) {
	r := resolved(b, two())
	for b.Loop() {
		if !routine.Solve(r, routine.Usual).Proven() {
			b.Fatal("not proven")
		}
	}
}

// BenchmarkReplay is a take of two cups, replayed and told.
func BenchmarkReplay(b *testing.B) {
	p := planned(b, two())
	run := play(b, p, p.Whole()).call(0).water(0, 31*s).press(41*s).press(101*s).water(1, p.Cups[1].Zero+s)
	for at := 130 * s; at < p.End; at += 20 * s {
		if e, ok := run.run.Meant(at, brew.FromKey); ok && e.Lane != p.CallsLane() {
			run.run, _ = run.run.Apply(e)
		}
	}
	run.call(p.End)
	own, brews := run.run.Parted()
	take := routine.Take{Speed: 1, Events: routine.Merge(own, brews...)}
	var reader routine.Reader
	b.ReportAllocs()
	for b.Loop() {
		again, err := reader.Run(take)
		if err != nil {
			b.Fatal(err)
		}
		routine.Of(take, again)
	}
}

// BenchmarkAt is what a screen asks at each moment.
func BenchmarkAt(b *testing.B) {
	p := planned(b, two())
	run := play(b, p, p.Whole()).call(0).water(0, 31*s)
	for b.Loop() {
		run.run.At(50*s + time.Millisecond)
	}
}
