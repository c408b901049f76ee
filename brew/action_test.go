package brew_test

import (
	"fmt"
	"strings"
	"testing"

	"barline/brew"
)

func TestWhatActionsMeanByThemselves(t *testing.T) {
	var b strings.Builder
	for _, u := range brew.Actions() {
		length := brew.Spoken(u.Over)
		if u.Over == 0 {
			length = "no length"
		}
		if u.Assumed {
			length += ", assumed"
		}
		fmt.Fprintf(&b, "%s: %s, %s, asks %s\n", u.Action, length, u.Hands, u.Asked)
		again, known := u.Action.Usual()
		same(t, string(u.Action), []any{again, known, u.Verb == ""}, []any{u, true, false})
	}
	sameLines(t, b.String(), `
pour: no length, assumed, busy, asks end
bypass: no length, assumed, busy, asks no
stir: 4 s, busy, asks no
swirl: 4 s, busy, asks no
tare: 2 s, busy, asks no
seal: 4 s, busy, asks no
open: 3 s, busy, asks no
lift: 2 s, busy, asks no
flip: 4 s, busy, asks no
press: 25 s, assumed, busy, asks both
drawdown: no length, free, asks end
serve: 5 s, busy, asks no
break: 8 s, busy, asks start
skim: 10 s, busy, asks no
do: 5 s, busy, asks no
taste: 1 min, free, asks no
wait: no length, free, asks no`)
	_, known := brew.Action("shake").Usual()
	same(t, "an action that is none is known", known, false)
}

func TestListsAreCopies(t *testing.T) {
	brew.Actions()[0].Verb, brew.Methods()[0], brew.Servers()[0] = "", "", ""
	same(t, "lists", []any{brew.Actions()[0].Verb, brew.Methods()[0], brew.Servers()[0]}, []any{"Pour", brew.PressMethod, brew.Steel})
}
