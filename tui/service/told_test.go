package service_test

import (
	"strings"
	"testing"
	"time"

	"barline/brew/bar"
)

// The page that takes a service up knows what the one before was told.
func TestAnEmptyKettleIsRememberedWhenAServiceIsTakenUp(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).press("k", 9).press("3", 9.5).wait(20)
	opt := alone(t)
	opt.Service = p.page.Service()
	again := opened(t, 80, 24, opt).wait(30)
	if s := seen(again); !s.spells("Window table, kettle empty until 8:18:09") {
		t.Errorf("the title forgot the kettle:\n%s", strings.Join(s.lines, "\n"))
	}
	if s := seen(again.press("k", 40).press("0", 40.5).wait(42)); s.spells("kettle empty") {
		t.Errorf("a kettle that was filled is still empty:\n%s", strings.Join(s.lines, "\n"))
	}
}

func TestTheFirstHourOfTheDayHasItsHour(t *testing.T) {
	opt := alone(t)
	opt.Opened = 24*time.Hour + 5*time.Minute
	if s := seen(opened(t, 80, 24, opt).press("k", 2).press("1", 3).wait(5)); !s.spells("kettle empty until 0:06:03") {
		t.Errorf("five past midnight is no time of day:\n%s", strings.Join(s.lines, "\n"))
	}
}

// What was wrong with a line is told until it is right.
func TestARightLineTakesTheFaultOfAWrongOneBack(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("2", 1).press("t", 4).press("enter", 6)
	p.write("99", 7).press("enter", 8)
	if s := seen(p); !s.spells("is not a number of cups") {
		t.Fatalf("99 cups are taken:\n%s", strings.Join(s.lines, "\n"))
	}
	if s := seen(p.write("2", 9).press("enter", 10)); s.spells("is not a number of cups") {
		t.Errorf("the fault is told on:\n%s", strings.Join(s.lines, "\n"))
	}
}

// The zero that is prompted stands large: it is not named a second time among
// what is pending.
func TestThePromptedZeroIsNotListedAsPending(t *testing.T) {
	p := opened(t, 80, 24, alone(t)).order("2", 1)
	for at := 2.0; len(waiting(p)) == 0 && at < 400; at++ {
		p.wait(at)
	}
	p.wait(p.page.At().Seconds() + 8)
	if len(waiting(p)) == 0 {
		t.Fatal("no zero was called")
	}
	if s := seen(p); !s.spells("as water meets coffee") || s.spells("pending:") {
		t.Errorf("the zero is not told once:\n%s", strings.Join(s.lines, "\n"))
	}
}

func waiting(p *player) []bar.Waiting { return p.page.Service().Look(p.page.At()).Waiting }
