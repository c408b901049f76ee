package cup

import (
	"fmt"

	"barline/brew"
)

// Balance says how strong the liquid is that stays in the grounds, by which
// the solids are accounted for.
type Balance string

// The balances. In percolation water washes the bed, which is taken as free of
// solubles at the end; in full immersion the grounds hold liquid as strong as
// the beverage; drained is a steep that then runs off, of which the strength of
// the last drops is measured too, and taken for what the grounds hold.
const (
	Percolation Balance = "percolation"
	Immersion   Balance = "immersion"
	Drained     Balance = "drained"
)

// Balances returns every balance in the order of the documentation.
func Balances() []Balance { return []Balance{Percolation, Immersion, Drained} }

var balanceOf = map[brew.Method]Balance{
	brew.PressMethod:   Immersion,
	brew.InvertedPress: Immersion,
	brew.Pot:           Immersion,
	brew.Cupping:       Immersion,
	brew.Cone:          Percolation,
	brew.FlatBed:       Percolation,
}

// BalanceOf returns the balance that a method is worked out by unless a person
// says otherwise: immersion for presses, pot and cupping, percolation for cone
// and flat bed. It is false for any other method, of which nobody can know.
// The table is common practice, no source; what follows from each is not.
func BalanceOf(m brew.Method) (Balance, bool) {
	b, ok := balanceOf[m]
	return b, ok
}

// UsualRetained returns the liquid that a gram of grounds keeps, in grams, where
// nobody measured it: 2.0 to 2.5 in percolation (training texts, no better
// source; taken as even over that span), 2.48 ± 0.19 in full immersion (Liang,
// Chan and Ristenpart 2021, Scientific Reports 11:6904, of one-litre steeps;
// read in a transcription). A press squeezes out more: no source says how much.
func UsualRetained(b Balance) Quantity {
	if b == Percolation {
		return Resolved(2.25, 0.5)
	}
	return Quantity{2.48, 0.19}
}

// UsualLast returns how strong the last drops are where nobody read them: as
// likely anywhere from plain water to the strength of the beverage, the two
// ends that percolation and immersion stand for. The wide uncertainty is right:
// between those balances the extraction is not known better.
func UsualLast(strength Quantity) Quantity { return Resolved(strength.Value/2, strength.Value) }

// Assumed says what SolveUsual takes as usual by a balance.
func Assumed(b Balance) string {
	if b == Drained {
		return "nobody read the last drops: they are taken to be anywhere from plain water to as strong as the cup"
	}
	kept := UsualRetained(b)
	return fmt.Sprintf("no beverage was weighed: a gram of grounds is taken to keep %.2f ± %.2f g", kept.Value, kept.U)
}
