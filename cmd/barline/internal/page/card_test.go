package page_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"barline/brew"
	"barline/brew/routine"
	"barline/cmd/barline/internal/page"
	"barline/recipes"
)

// performedOf returns the plan of a routine's text.
func performedOf(t testing.TB, text []byte) *routine.Plan {
	t.Helper()
	shelf, err := recipes.NewShelf(nil, brew.Bar{})
	if err != nil {
		t.Fatal(err)
	}
	doc, _ := recipes.ParseRoutine("x.yaml", text)
	resolved, faults := doc.Resolve(recipes.FindOn(shelf), brew.Bar{})
	if faults.Err() != nil {
		t.Fatal(faults)
	}
	search := routine.Solve(resolved, routine.Usual)
	if !search.Found() {
		t.Fatal("no plan")
	}
	return search.Plan()
}

// cards are routines by their name: the shipped ones, a short one, and one of
// many more words than anybody says in ten minutes.
func cards(t testing.TB) map[string]*routine.Plan {
	t.Helper()
	out := map[string]*routine.Plan{}
	for _, name := range []string{"lantern-three-cones", "lantern-cone-and-press"} {
		text, err := fs.ReadFile(recipes.ShippedRoutines(), name+".yaml")
		if err != nil {
			t.Fatal(err)
		}
		out[name] = performedOf(t, text)
	}
	const head = "name: %s\nlimit: 20 min\npace: 150 words/min\nbrews:\n  - {id: cone, recipe: quayside-cone, serve: 10 s}\nsections:\n"
	short := fmt.Sprintf(head, "Short") + "  - name: \"<One> & only\"\n    parts:\n      - \"Say <b>it</b> & go\"\n"
	long := fmt.Sprintf(head, "Long")
	for n := range 12 {
		long += fmt.Sprintf("  - name: Section %d\n    parts:\n", n+1)
		for range 4 {
			long += "      - say: " + strings.TrimSpace(strings.Repeat("many words that fill a whole line of the sheet ", 5)) + "\n"
		}
	}
	out["short"], out["long"] = performedOf(t, []byte(short)), performedOf(t, []byte(long))
	return out
}

func TestACardHoldsAllThatHappens(t *testing.T) {
	for name, plan := range cards(t) {
		html := string(page.Card{Plan: plan}.HTML())
		if !strings.HasPrefix(html, page.Mark) {
			t.Errorf("%s does not begin as our pages do", name)
		}
		for _, e := range plan.Sheet() {
			text := strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;", "'", "&#39;").Replace(e.What)
			if e.Kind == routine.ACall {
				text = "Call time."
			}
			if e.Note != "" && !strings.Contains(html, "<small>"+e.Note+"</small>") {
				t.Errorf("%s: %q is not said to be %s", name, text, e.Note)
			}
			if !strings.Contains(html, text) || !strings.Contains(html, `<span class="at">`+brew.Clock(e.Start)+`</span>`) {
				t.Errorf("%s: %q at %s is not on it", name, text, brew.Clock(e.Start))
			}
		}
		for tag, want := range map[string]int{"<h2>": len(plan.Sections), "<ol>": len(plan.Sections), "</ol>": len(plan.Sections), "<h1>": 1, "class=\"call\"": 2} {
			if got := strings.Count(html, tag); got != want {
				t.Errorf("%s: %d times %s, want %d", name, got, tag, want)
			}
		}
		if again := (page.Card{Plan: plan}).HTML(); !bytes.Equal(again, []byte(html)) {
			t.Errorf("%s is not the same twice", name)
		}
		if strings.Contains(html, "..<") || strings.Contains(html, "<script") || strings.Contains(html, "://") {
			t.Errorf("%s: a full stop twice, a script or an address", name)
		}
	}
	if html := string(page.Card{Plan: cards(t)["lantern-cone-and-press"]}.HTML()); !strings.Contains(html, "usual figures, to be checked against the current rules") {
		t.Error("rules that nobody wrote are not told to be checked")
	}
	if html := string(page.Card{Plan: cards(t)["lantern-three-cones"]}.HTML()); strings.Contains(html, "to be checked") || !strings.Contains(html, "by 0:49") {
		t.Error("rules that are written are told to be checked, or a pour has no end")
	}
}

var mediaBox = regexp.MustCompile(`/MediaBox ?\[ ?0 0 ([0-9.]+) ([0-9.]+) ?\]`)

// papers are sheets by their names, in inches.
var papers = map[string][2]float64{"A4": {8.27, 11.69}, "US Letter": {8.5, 11}}

// Every card is printed on one sheet of whichever paper, with type that can be read where
// the words of ten minutes are on it.
func TestACardInABrowser(t *testing.T) {
	b := open(t)
	for name, plan := range cards(t) {
		b.visit(page.Card{Plan: plan}.HTML())
		if got := b.requests(); len(got) != 1 {
			t.Errorf("%s asks for %q", name, got)
		}
		if got := b.complaints(); len(got) > 0 {
			t.Errorf("%s: the browser complains: %s", name, got)
		}
		b.screen(900, "light")
		b.picture("card-" + name)
		for _, width := range []int{360, 1280} {
			b.screen(width, "dark")
			var wide int
			if b.value("document.documentElement.scrollWidth", &wide); wide > width {
				t.Errorf("%s: on a screen of %d the page is %d wide", name, width, wide)
			}
		}
		for paper, size := range papers {
			var printed struct{ Data string }
			b.ask("Page.printToPDF", map[string]any{"preferCSSPageSize": true, "printBackground": true, "paperWidth": size[0], "paperHeight": size[1]}, &printed)
			pdf := b.kept("card-"+name+"-"+paper+".pdf", printed.Data)
			if boxes := mediaBox.FindAllSubmatch(pdf, -1); len(boxes) != 1 || num(t, string(boxes[0][1])) > 72*size[0]+1 || num(t, string(boxes[0][2])) > 72*size[1]+1 {
				t.Errorf("%s is printed on %d pages of %s", name, len(boxes), paper)
			}
		}
		b.ask("Emulation.setEmulatedMedia", map[string]any{"media": "print"}, nil)
		var size string
		b.value("getComputedStyle(document.querySelector('main')).fontSize", &size)
		if points := num(t, strings.TrimSuffix(size, "px")) * 0.75; name != "long" && points < 7.5 {
			t.Errorf("%s has type of %.1f points", name, points)
		}
		b.ask("Emulation.setEmulatedMedia", map[string]any{"media": ""}, nil)
	}
}
