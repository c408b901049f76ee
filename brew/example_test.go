package brew_test

import (
	"fmt"
	"time"

	"barline/brew"
)

// A recipe is planned, the plan is brewed, and the lane is asked.
func Example() {
	plan, err := brew.NewPlan(brew.Recipe{
		Name: "Quayside cone", Method: brew.Cone, Dose: 15 * brew.Gram, Water: 240 * brew.Gram, Temperature: 94,
		Steps: []brew.Step{
			{Action: brew.Pour, Amount: 240 * brew.Gram, To: true, Over: 40 * time.Second},
			{Action: brew.Drawdown, Over: 90 * time.Second},
		},
	}, brew.Bar{})
	if err != nil {
		fmt.Println(err)
		return
	}
	lane := brew.NewLane(plan)
	lane, _ = lane.Apply(brew.Event{Kind: brew.EventStart})
	m := lane.At(10 * time.Second)
	fmt.Println(plan.Cues[m.On].Prompt, "now", m.Reading, "next", plan.Cues[m.Next].Prompt, "in", brew.Spoken(m.NextIn))

	lane, out := lane.Apply(brew.Event{Kind: brew.EventMark, At: 43 * time.Second})
	beat := plan.Beats[out.Beat]
	fmt.Println(beat.Name, brew.Signed(lane.Beat(out.Beat).Marked-beat.Due), "on time:", beat.Window.Holds(3*time.Second))
	// Output:
	// Pour to 240 g now 60 g next Drawdown in 30 s
	// pour, end +3.0 s on time: true
}
