package main

import (
	"encoding/json"
	"testing"

	"barline/brew"
	"barline/brew/bar"
)

// A service that is taken up keeps its digits, and what was not edited is not
// taken for edited.
func TestAServiceThatIsTakenUpKeepsItsMenu(t *testing.T) {
	b := newBench(t)
	first, err := b.card([]string{"quayside-press", "quayside-cone", "quayside-pot", "quayside-quick"}, brew.MarksAsked)
	must(t, err)
	text, err := json.Marshal(bar.Opening{Menu: first.plans, Kit: bar.Kit{People: 1, Brewers: 3, Kettles: 1}, People: []string{"Ada"}})
	must(t, err)
	var open bar.Opening
	must(t, json.Unmarshal(text, &open))
	menu := open.Service().Menu()
	menu[2].Plan.Version = "of another file"
	dosed, err := first.scale(menu[0].Plan, "15 g")
	must(t, err)
	menu[0].Plan = dosed

	again, err := b.card([]string{"quayside-pot", "quayside-cone", "quayside-press"}, brew.MarksAsked)
	must(t, err)
	again.goOnWith(menu)
	fresh := again.fresh()
	for i, c := range []struct {
		name string
		same bool
	}{{"with another dose", true}, {"as it was", true}, {"edited", false}, {"not on the menu any more", true}} {
		if (fresh[i] == menu[i].Plan) != c.same || fresh[i].Name != menu[i].Plan.Name {
			t.Errorf("%s: %s is %s, the same %t", c.name, menu[i].Plan.Name, fresh[i].Name, fresh[i] == menu[i].Plan)
		}
		if known := len(again.texts[fresh[i]]) > 0; known != (i < 3) {
			t.Errorf("%s: its text is known: %t", c.name, known)
		}
	}
}
