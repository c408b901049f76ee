package cup

import (
	"fmt"
	"slices"

	"barline/brew"
)

// Cautions returns the words of care that a plan asks for, whatever its writer
// says of them: the water's heat, a press, a brewer that is turned over. They
// are no more than the usual ones, and the last of them says what goes before.
// The scald is after Moritz and Henriques 1947 (see Scalds); that glass presses
// have broken in the hand is from public recalls of glass presses; of turned
// brewers no published standard was found: common practice.
func Cautions(p *brew.Plan, server brew.Server) []string {
	var out []string
	does := func(a brew.Action) bool {
		return slices.ContainsFunc(p.Cues, func(c brew.Cue) bool { return c.Action == a })
	}
	if within, ok := Scalds(p.Temperature); ok {
		out = append(out, fmt.Sprintf("water of %s burns skin deeply within %s (after Moritz and Henriques 1947), and that of children sooner", p.Temperature, brew.Spoken(within)))
	}
	if does(brew.Press) {
		text := "a press is pushed slowly and straight, on a dry, firm table; stop where it needs force"
		if server != brew.Steel && server != brew.Ceramic {
			text += ", for glass can break under it"
		}
		out = append(out, text)
	}
	if does(brew.Flip) {
		out = append(out, "a turned brewer is full of scalding water and held together by friction alone: lock it fully, turn it over a sink and away from people")
	}
	if len(out) > 0 {
		out = append(out, "the rules of your house and what you were trained in come first")
	}
	return out
}
