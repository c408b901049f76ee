package cup_test

import (
	"fmt"
	"time"

	"barline/brew"
	"barline/brew/cup"
)

func ExampleWant() {
	e, _ := cup.Want(cup.Extraction, cup.Percolation, cup.Figures{
		cup.Dose:     {Value: 15, U: 0.1},
		cup.Beverage: {Value: 250, U: 0.5},
		cup.Strength: {Value: 1.35, U: 0.03},
	})
	fmt.Printf("extraction %.1f %% ± %.1f\n", e.Value, e.U)
	_, err := cup.Want(cup.Extraction, cup.Percolation, cup.Figures{cup.Dose: cup.Exactly(15), cup.Beverage: cup.Exactly(250), cup.Strength: cup.Exactly(0.0135)})
	fmt.Println(err)
	// Output:
	// extraction 22.5 % ± 0.5
	// strength 0.0135 % is too little to be true
}

func ExampleRestFor() {
	boils, _ := cup.BoilsAt(1000)
	kettle, _ := cup.Calibrate(boils, 21, 0.3, cup.TimedReading{After: 4 * time.Minute, At: 91})
	rest, _ := cup.RestFor(boils, 93, 21, kettle)
	fmt.Printf("boils at %s, rest %s (%s to %s)\n", boils, brew.Clock(rest.Wait), brew.Clock(rest.Low), brew.Clock(rest.High))
	rest, _ = cup.RestFor(boils, 93, 21, cup.Kettle{})
	fmt.Printf("%s to %s: %s\n", brew.Clock(rest.Low), brew.Clock(rest.High), rest.Why)
	// Output:
	// boils at 96.6 °C, rest 2:32 (2:13 to 2:52)
	// 1:28 to 4:26: no reading of this kettle: from an open mug to a lidded kettle, the latter a guess
}
