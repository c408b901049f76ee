package service

import (
	"fmt"
	"strings"
	"time"
	"unicode"

	"barline/brew"
	"barline/brew/bar"
	"barline/tui/draw"
)

// nameWidth is how many cells a lane's name may take, without its key.
const nameWidth = 12

// name returns what an order is called: the key of its lane, and the guest's
// name or the recipe's.
func (p Page) name(order int) string {
	if order < 0 {
		return ""
	}
	return strings.TrimSpace(p.lanes[order] + " " + p.plainName(order))
}

// plainName is the name without the key.
func (p Page) plainName(order int) string {
	t := p.service.Ticket(order)
	if name := draw.OneLine(t.Name); name != "" {
		return draw.Fit(name, nameWidth)
	}
	return p.short[t.Dish]
}

// shortNames returns what the recipes of a menu are called in a lane: their
// names without the words that they all begin with.
func shortNames(menu []bar.Dish) []string {
	names := make([][]string, len(menu))
	for i, d := range menu {
		names[i] = strings.Fields(draw.OneLine(d.Plan.Name))
	}
	for shared(names) {
		for i := range names {
			names[i] = names[i][1:]
		}
	}
	out := make([]string, len(names))
	for i, words := range names {
		out[i] = draw.Fit(strings.Join(words, " "), nameWidth)
	}
	return out
}

// shared reports whether several names begin with the same word and go on.
func shared(names [][]string) bool {
	for _, words := range names {
		if len(words) < 2 || words[0] != names[0][0] {
			return false
		}
	}
	return len(names) > 1
}

// longestWord is the longest that stands large for a chore.
const longestWord = 8

// choreWord is a chore in one word: the first of what it asks for.
func choreWord(text string) string {
	word, _, _ := strings.Cut(strings.TrimSpace(text), " ")
	word = strings.TrimFunc(word, func(r rune) bool { return !unicode.IsLetter(r) })
	if ascii := strings.IndexFunc(word, func(r rune) bool { return r > unicode.MaxASCII }) < 0; !ascii || word == "" || len(word) > longestWord {
		return "prepare"
	}
	return strings.ToLower(word)
}

// owned puts the person's name before a lane's where there are several.
func (p Page) owned(person int, name string) string {
	if people := p.look.People; len(people) > 1 && person >= 0 && people[person].Name != "" {
		return draw.Fit(people[person].Name, nameWidth) + ", " + name
	}
	return name
}

// day returns a moment of the service as a time of day, with its hour in the
// first hour, too.
func (p Page) day(at time.Duration) string {
	at = (p.opt.Opened + at) % (24 * time.Hour)
	if at < time.Hour {
		return fmt.Sprintf("0:%02d:%02d", int(at.Minutes()), int(at.Seconds())%60)
	}
	return brew.Clock(at)
}

// minute returns a moment as a time of day for a guest, rounded up to the
// minute: the cup is there by then.
func (p Page) minute(at time.Duration) string {
	at = (p.opt.Opened + at + time.Minute - 1) / time.Minute * time.Minute
	text := brew.Clock(at % (24 * time.Hour) / 60) // minutes and seconds of a clock that runs sixty times slower
	return text
}

// readyText is when an order's cup is ready: with a question mark while that
// is only planned.
func (p Page) readyText(t bar.TicketLook) string {
	switch {
	case t.State == bar.OrderHeldBack && t.Sure == bar.SureNot:
		return "held"
	case t.Sure == bar.SurePlanned:
		return p.minute(t.Ready) + "?"
	case t.Sure == bar.SureNot:
		return "-"
	}
	return p.minute(t.Ready)
}
