package pages_test

import (
	"strings"
	"testing"

	"barline/brew/cup"
)

// read is the bar whose cups were read: what the drifts went with in them.
func read(effects ...cup.Effect) *ledger {
	l := planted()
	l.many.Cup = &cup.Learnt{Version: "7be04d11", Lot: "12", Brews: 61, Fits: []cup.Fit{{Effects: effects}}}
	return l
}

// A recipe's page says what the drifts did to the cup, where that is worth a
// sentence; of a person alone, or of all versions, it would be another question.
func TestARecipesPageSaysWhatTheDriftsDidToTheCup(t *testing.T) {
	effect := cup.Effect{Text: "with 10 s more contact the strength was 0.05 points higher"}
	withheld := cup.Effect{Text: "with a heavier press it was lower", Withheld: cup.NoUse}
	told := []string{"what the drifts did to the cup, by 61 brews of lot 12 that were read", "- " + effect.Text, cup.ByNobodysLot}
	for name, c := range map[string]struct {
		source *ledger
		keys   string
		says   bool
	}{
		"an effect":         {read(effect, withheld), "", true},
		"none":              {read(withheld), "", false},
		"nothing was read":  {planted(), "", false},
		"of one person":     {read(effect), "p", false},
		"of every version":  {read(effect), "v", false},
		"of the newest one": {read(effect), "v v", true},
	} {
		d, _ := drifting(c.source, false, 90, 200, strings.Fields(c.keys)...)
		got := screen(d)
		for _, text := range told {
			if strings.Contains(got, text) != c.says {
				t.Errorf("%s: %q is on the screen: %t: %s", name, text, !c.says, got)
			}
		}
		if strings.Contains(got, withheld.Text) {
			t.Errorf("%s: what is withheld is on the screen", name)
		}
	}
}
