package drift_test

import (
	"fmt"
	"time"

	"barline/brew"
	"barline/brew/drift"
)

// A cone at an invented bar: the second pour ends late, and the third hangs
// behind it.
func ExampleOf() {
	plan, err := brew.NewPlan(brew.Recipe{
		Name: "Quayside cone", Method: brew.Cone, Dose: 15 * brew.Gram, Water: 250 * brew.Gram, Temperature: 94,
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 50 * brew.Gram, Over: 10 * time.Second, Label: "bloom"},
			{Action: brew.Pour, Amount: 100 * brew.Gram, Anchor: brew.At, Offset: 45 * time.Second, Over: 15 * time.Second},
			{Action: brew.Pour, Amount: 100 * brew.Gram, Anchor: brew.After, Offset: 15 * time.Second, Over: 15 * time.Second},
			{Action: brew.Drawdown, Over: time.Minute},
		},
	}, brew.Bar{})
	if err != nil {
		fmt.Println(err)
		return
	}
	lane, _ := brew.NewLane(plan).Apply(brew.Event{Kind: brew.EventStart})
	for _, at := range []float64{9.8, 66.2, 96.4, 165} {
		lane, _ = lane.Apply(brew.Event{Kind: brew.EventMark, At: time.Duration(at * float64(time.Second))})
	}
	lane, _ = lane.Apply(brew.Event{Kind: brew.EventFinish, At: 170 * time.Second})

	d := drift.Of(lane)
	fmt.Println(d.Sentence.Text)
	for _, r := range d.Rows {
		fmt.Printf("%s: %s\n", r.Name, r.Word())
	}
	fmt.Printf("%s: %s\n", d.Contact.Name, d.Contact.Word())
	fmt.Printf("%s in all: the hands %s, the bed %s, pauses %s\n", brew.Signed(d.Lateness.Total),
		brew.Signed(d.Lateness.Person), brew.Signed(d.Lateness.Bed), brew.Signed(d.Lateness.Between))
	// Output:
	// The second pour ended 6.2 s late, and the bed took 8.6 s longer than written on its own.
	// bloom, end: -0.2 s on time
	// second pour, end: +6.2 s late
	// third pour, end: +6.4 s late, but carried
	// drawdown, end: +15.0 s late, the bed +8.6 s late
	// contact: 2 min 45 s, +15.0 s longer
	// +15.0 s in all: the hands +6.2 s, the bed +8.6 s, pauses +0.2 s
}
