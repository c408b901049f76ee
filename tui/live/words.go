package live

import (
	"fmt"
	"time"

	"barline/brew"
	"barline/tui/stage"
)

// Countdown is a time to go as the page shows it: see stage.Countdown.
func Countdown(d time.Duration) string { return stage.Countdown(d) }

// figures is the recipe in one line.
func figures(p *brew.Plan) string {
	text := fmt.Sprintf("%s to %s at %s", p.Dose, p.Water, p.Temperature)
	if p.Bypass > 0 {
		text += " and " + p.Bypass.String() + " bypass"
	}
	if p.Grind != "" {
		text += ", " + p.Grind
	}
	return text
}
