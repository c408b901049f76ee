package cup_test

import (
	"testing"

	"barline/brew/cup"
)

func BenchmarkSolve(b *testing.B) {
	known := cup.Figures{cup.Dose: {Value: 15, U: 0.1}, cup.Beverage: {Value: 250, U: 0.5}, cup.Strength: {Value: 1.35, U: 0.03}}
	for b.Loop() {
		if _, err := cup.Solve(cup.Percolation, known); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLearn(b *testing.B) {
	brews := invented(1, 1000, planted)
	for b.Loop() {
		cup.Learn(brews)
	}
}
