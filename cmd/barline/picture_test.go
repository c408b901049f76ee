package main

import (
	"bytes"
	"flag"
	"os"
	"testing"
	"time"

	"barline/brew"
	"barline/recipes"
	"barline/tui/draw"
	"barline/tui/draw/svg"
	"barline/tui/keys"
	"barline/tui/live"

	tea "github.com/charmbracelet/bubbletea"
)

var update = flag.Bool("update", false, "write the files that tests compare with anew")

const picture = "../../testdata/live.svg"

// The README's picture is the live page itself, so it cannot go stale.
func TestThePictureOfTheReadmeIsTheLivePage(t *testing.T) {
	got := []byte(svg.SVG(pouring(t), svg.Dark))
	if *update {
		if err := os.WriteFile(picture, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(picture)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is not what the live page looks like; run go test ./cmd/barline -run Picture -update and look at it", picture)
	}
}

// pouring returns the live page in the second pour of a shipped recipe, whose
// first pour was marked a little late.
func pouring(t *testing.T) *draw.Canvas {
	t.Helper()
	shelf, err := recipes.NewShelf(nil, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	entry, err := shelf.Find("quayside-press")
	if err != nil {
		t.Fatal(err)
	}
	plan, err := brew.NewPlan(entry.Document.Recipe(), brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	page := live.New(live.Options{
		Plans: []*brew.Plan{plan}, Title: plan.Name, By: "Ada", Ahead: live.DefaultAhead, Keys: live.DefaultKeys(),
		Now: func() time.Duration { return 0 },
	}).Resize(80, 24)
	press := func(key tea.KeyType, at time.Duration) {
		page, _ = page.Update(keys.Press{KeyMsg: tea.KeyMsg{Type: key}, At: at})
	}
	start := time.Duration(len(plan.Prepare)) * time.Second
	for i := range len(plan.Prepare) + 1 {
		press(tea.KeySpace, time.Duration(i)*time.Second)
	}
	press(tea.KeySpace, start+9200*time.Millisecond)
	press(tea.KeyF20, start+45300*time.Millisecond) // a key that means nothing tells the page the time
	return page.Draw()
}
