package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"barline/brew"
	"barline/brew/bar"
	"barline/recipes"
)

// barOrder is an order as it is written on the command line: the recipe, when
// it was placed, for whom, and how many cups: quayside-cone@0:20=Ada,2.
type barOrder struct {
	recipe string
	placed time.Duration
	name   string
	cups   int // 0 where it is not said
}

const orderHint = "write RECIPE@M:SS, or RECIPE@M:SS=NAME,CUPS, such as quayside-cone@0:20=Ada,2"

// readOrder reads an order; n is the number of its flag. A path may have an @
// in it: what follows the last one that a time could follow is the time.
func readOrder(n int, text string) (barOrder, error) {
	recipe, when, guest := text, "", ""
	if i := timeSign(text); i >= 0 {
		recipe = text[:i]
		when, guest, _ = strings.Cut(text[i+1:], "=")
	} else {
		recipe, guest, _ = strings.Cut(text, "=")
	}
	o := barOrder{recipe: strings.TrimSpace(recipe)}
	if o.recipe == "" {
		return o, faultyOrder(n, text, "names no recipe", orderHint)
	}
	if strings.Contains(text, "@") {
		at, err := recipes.ReadLength(withUnit(when, "s"))
		switch {
		case strings.TrimSpace(when) == "":
			return o, faultyOrder(n, text, "has no time behind its @", orderHint)
		case strings.HasPrefix(strings.TrimSpace(when), "-"):
			return o, faultyOrder(n, text, fmt.Sprintf("%q is before the round's zero, wanted 0:00 to 24:00:00", when), "count the orders' times from the first one's, 0:00")
		case err != nil:
			return o, faultyOrder(n, text, err.Error(), orderHint)
		case at%time.Second != 0 || at < 0 || at > 24*time.Hour:
			return o, faultyOrder(n, text, fmt.Sprintf("%q, wanted whole seconds from 0:00 to 24:00:00", when), "")
		}
		o.placed = at
	}
	name, cups := guest, ""
	if i := strings.LastIndex(guest, ","); i >= 0 {
		name, cups = guest[:i], guest[i+1:]
	}
	o.name = strings.TrimSpace(name)
	if cups != "" {
		many, err := strconv.Atoi(strings.TrimSpace(cups))
		if err != nil || many < 1 || many > 100 {
			return o, faultyOrder(n, text, fmt.Sprintf("%q cups, wanted 1 to 100", cups), orderHint)
		}
		o.cups = many
	}
	return o, nil
}

// timeSign returns where the @ ahead of the time stands: the last one with a
// figure behind it, else the last one; -1 for none.
func timeSign(text string) int {
	for i := len(text) - 2; i >= 0; i-- {
		if text[i] == '@' && text[i+1] >= '0' && text[i+1] <= '9' {
			return i
		}
	}
	return strings.LastIndex(text, "@")
}

func faultyOrder(n int, text, what, hint string) error {
	return &usageError{fmt.Sprintf("--order %d, %q: %s", n, text, what), hint}
}

// readOrders reads all orders and returns them in the order in which they were
// placed. Every one that cannot be read is told.
func (a *app) readOrders(texts []string, m *menu) ([]bar.Order, error) {
	if len(texts) == 0 {
		return nil, &usageError{"there is no --order", orderHint}
	}
	if len(texts) > mostOrders {
		return nil, &usageError{fmt.Sprintf("%d orders, at most %d can be planned", len(texts), mostOrders), ""}
	}
	var out []bar.Order
	for i, text := range texts {
		o, err := readOrder(i+1, text)
		if err != nil {
			return nil, err
		}
		pattern, err := m.of(o.recipe)
		if err != nil {
			return nil, within(fmt.Sprintf("--order %d, %q", i+1, text), oneEach(err, o.recipe))
		}
		out = append(out, bar.Order{Pattern: pattern, Placed: int(o.placed / time.Second), Name: o.name, Cups: o.cups})
	}
	slices.SortStableFunc(out, func(x, y bar.Order) int { return x.Placed - y.Placed })
	return out, nil
}

// mostOrders is the most that one round is planned for.
const mostOrders = 40

// oneEach says that an order has a flag of its own, where more than a name was
// taken for a recipe's.
func oneEach(err error, recipe string) error {
	if fault, is := err.(*inputError); is && strings.ContainsAny(recipe, "=,@") {
		return &inputError{fault.message, "give --order once for each order, as RECIPE@M:SS=NAME,CUPS"}
	}
	return err
}

// within says where a fault is.
func within(where string, err error) error {
	if fault, is := err.(*inputError); is {
		return &inputError{where + ": " + fault.message, fault.hint}
	}
	return err
}

// called returns an order's number, with the guest's name where there is one.
func called(n int, o bar.Order) string {
	if o.Name == "" {
		return strconv.Itoa(n + 1)
	}
	return strconv.Itoa(n+1) + " " + o.Name
}

// dish returns what is ordered.
func dish(p *brew.Plan, o bar.Order) string {
	if o.Cups > 0 {
		return p.Name + ", " + counted(o.Cups, "cup")
	}
	return p.Name
}
