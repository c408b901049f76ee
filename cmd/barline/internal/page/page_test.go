package page_test

import (
	"bytes"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"barline/brew/drift"
	"barline/cmd/barline/internal/page"
)

var update = flag.Bool("update", false, "write the golden files anew")

func TestAReportIsAsItWasLookedAt(t *testing.T) {
	const golden = "testdata/report.html"
	got := planted().report(1).HTML()
	if *update {
		if err := os.WriteFile(golden, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("the report is not %s, from byte %d on; look at it, then go test -update", golden, differs(got, want))
	}
}

func differs(a, b []byte) int {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return i
		}
	}
	return min(len(a), len(b))
}

// kinds are reports of every kind there is.
func kinds() map[string]page.Report {
	one, few, none, nobody, weighed := usual(1), usual(5), usual(12), usual(30), planted()
	none.fate = func(int, int) drift.Fate { return drift.Unmarked }
	nobody.persons = []string{""}
	weighed.brews = 400
	weighed.versions = []string{"a", "b", "c", "d", "e", "f", "g", "h"}
	newest := planted().report(1)
	newest.Choice = drift.Choice{Persons: []string{"Mo"}, Since: opens, Until: opens.AddDate(0, 1, 0), Last: 10}
	newest.LeftOut = 3
	same := usual(60)
	same.slip = func(*rand.Rand, int, int, string) float64 { return 0.5 }
	return map[string]page.Report{
		"planted": planted().report(1), "usual": usual(90).report(2), "one brew": one.report(1), "five": few.report(1), "no mark": none.report(1),
		"nobody signed": nobody.report(1), "eight versions": weighed.report(1), "a choice": newest, "all the same": same.report(1),
		"markup in every name": hostile().report(1),
	}
}

func TestEveryReportIsSound(t *testing.T) {
	for name, r := range kinds() {
		t.Run(name, func(t *testing.T) {
			text := string(r.HTML())
			p := parse(t, text)
			if strings.Contains(text, "%!") || strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
				t.Error("a figure is no figure")
			}
			closed(t, text)
			said(t, p)
			linked(t, p)
			headed(t, p)
			tabled(t, p)
		})
	}
}

// closed checks that the page needs nothing from anywhere, and lets nothing in.
func closed(t *testing.T, text string) {
	t.Helper()
	if !strings.HasPrefix(text, page.Mark) {
		t.Error("the page does not begin with its mark")
	}
	// A name may hold these words as text; what matters is that they are no
	// markup.
	markup := regexp.MustCompile(`>[^<]*<`).ReplaceAllString(text, "><")
	style := text[strings.Index(text, "<style>"):strings.Index(text, "</style>")]
	for _, no := range []string{"http://", "https://", "//", "url(", "@import", "<script", "<link", "<img", "<iframe", "<object", "<embed", "<base", "<form", "src=", "srcset", "style=", "javascript:", "data:"} {
		if strings.Contains(strings.ToLower(markup), no) || strings.Contains(style, no) {
			t.Errorf("the page holds %q", no)
		}
	}
	if !strings.Contains(text, `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'"/>`) {
		t.Error("the page has no policy that forbids requests")
	}
	if strings.Index(text, "Content-Security-Policy") > strings.Index(text, "<style>") {
		t.Error("the policy comes behind the style")
	}
}

// said checks that who sees no picture is told it.
func said(t *testing.T, p *element) {
	t.Helper()
	for _, s := range p.all("svg") {
		titles, words := s.all("title"), s.all("desc")
		if len(titles) != 1 || len(words) != 1 || len(titles[0].text) < 4 || len(words[0].text) < 40 {
			t.Fatalf("a picture is not said: %q", s.text)
		}
		if want := titles[0].attr["id"] + " " + words[0].attr["id"]; s.attr["role"] != "img" || s.attr["aria-labelledby"] != want {
			t.Errorf("%s: role %q, labelled by %q, want img and %q", titles[0].text, s.attr["role"], s.attr["aria-labelledby"], want)
		}
	}
}

// linked checks that ids are one of a kind, and that what leads somewhere
// leads to one.
func linked(t *testing.T, p *element) {
	t.Helper()
	seen := map[string]bool{}
	for _, e := range p.with("id") {
		if seen[e.attr["id"]] {
			t.Errorf("two elements have the id %s", e.attr["id"])
		}
		seen[e.attr["id"]] = true
	}
	for _, e := range p.with("href") {
		if !seen[strings.TrimPrefix(e.attr["href"], "#")] {
			t.Errorf("%s leads nowhere", e.attr["href"])
		}
	}
	for _, e := range p.with("aria-labelledby") {
		for _, id := range strings.Fields(e.attr["aria-labelledby"]) {
			if !seen[id] {
				t.Errorf("labelled by %s, which is not there", id)
			}
		}
	}
}

// headed checks the language, the title and the order of the headings.
func headed(t *testing.T, p *element) {
	t.Helper()
	if html := p.all("html"); len(html) != 1 || html[0].attr["lang"] != "en-GB" {
		t.Error("the page does not say its language")
	}
	if len(p.all("main")) != 1 || len(p.all("h1")) != 1 || len(p.all("head")[0].all("title")) != 1 {
		t.Error("want one main part, one first heading and one title")
	}
	level := 0
	var walk func(e *element)
	walk = func(e *element) {
		for _, k := range e.kids {
			if len(k.name) == 2 && k.name[0] == 'h' && '1' <= k.name[1] && k.name[1] <= '6' {
				if now := int(k.name[1] - '0'); now > level+1 || plain(k.text) == "" {
					t.Errorf("heading %q of level %d behind one of level %d", k.text, now, level)
				} else {
					level = now
				}
			}
			walk(k)
		}
	}
	walk(p)
}

// tabled checks that tables have a caption, say what their heads are heads of,
// and are full.
func tabled(t *testing.T, p *element) {
	t.Helper()
	for _, table := range p.all("table") {
		if c := table.all("caption"); len(c) != 1 || plain(c[0].text) == "" {
			t.Error("a table has no caption")
		}
		columns, below := len(table.all("thead")[0].all("th")), 0
		for _, th := range table.all("th") {
			if s := th.attr["scope"]; s != "col" && s != "row" && s != "rowgroup" {
				t.Errorf("head %q has the scope %q", th.text, s)
			}
		}
		for _, row := range table.all("tr") {
			n := 0
			if below > 0 {
				n, below = 1, below-1
			}
			for _, cell := range row.kids {
				n += span(cell, "colspan")
				below = max(below, span(cell, "rowspan")-1)
			}
			if n != columns {
				t.Errorf("a row has %d cells in %d columns: %s", n, columns, plain(row.text))
			}
		}
		for i, th := range table.all("thead")[0].all("th") {
			for _, row := range table.all("tbody")[0].all("tr") {
				if len(row.kids) == columns && row.kids[i].name == "td" && row.kids[i].attr["class"] != th.attr["class"] {
					t.Errorf("%q and what is below it do not stand on the same side", th.text)
				}
			}
		}
	}
}

func span(cell *element, attr string) int {
	if n, err := strconv.Atoi(cell.attr[attr]); err == nil {
		return n
	}
	return 1
}

// hostile is a bar whose names are markup.
func hostile() bar {
	b := planted()
	b.persons = []string{`<script>alert(1)</script>`, `"><img src=x onerror=alert(2)>`, `' onload='x`}
	b.names = [3]string{`</title></svg><script>x</script>`, `a & b < c > d "e" 'f'`, "bell \a, escape \x1b[2J, turned \u202e, line\nbreak, \xff, \ufffe"}
	b.versions = []string{`<b>`, `&lt;v&gt;`}
	return b
}

// What the names say is there as text, and nowhere as markup.
func TestNamesAreText(t *testing.T) {
	r := hostile().report(1)
	r.Recipe = `<h1>"Dock" & 'cone'</h1>`
	r.Counted = "<i>brews</i>"
	r.Attempts[0].Person = `<script>alert(1)</script>`
	text := string(r.HTML())
	p := parse(t, text)
	if got := p.all("h1")[0].text; got != r.Recipe {
		t.Errorf("the recipe is %q, want %q", got, r.Recipe)
	}
	for _, name := range []string{"script", "img", "i"} {
		if n := len(p.all(name)); n > 0 {
			t.Errorf("%d elements <%s> came out of names", n, name)
		}
	}
	for _, e := range []string{"onload", "onerror"} {
		if len(p.with(e)) > 0 {
			t.Errorf("an attribute %s came out of a name", e)
		}
	}
	for _, name := range hostile().persons {
		if !strings.Contains(p.text, name) {
			t.Errorf("%q is not on the page", name)
		}
	}
	if !strings.Contains(p.text, `a & b < c > d "e" 'f'`) || !strings.Contains(p.text, "&lt;v&gt;") {
		t.Error("a beat's name or a version's is not as it was given")
	}
	for _, r := range text {
		if r < ' ' && r != '\n' || r == '\u202e' || r == '\ufffe' || r == 0x7f {
			t.Fatalf("the page holds the character %U", r)
		}
	}
	if !strings.Contains(p.text, "bell \ufffd, escape \ufffd[2J, turned \ufffd, line break, \ufffd, \ufffd") {
		t.Error("what steers is not shown as unknown characters")
	}
}

// The same brews give the same bytes, in whatever order they came.
func TestTheOrderOfBrewsDoesNotMatter(t *testing.T) {
	r := planted().report(3)
	want := r.HTML()
	if !bytes.Equal(r.HTML(), want) {
		t.Error("a second page of the same values is another one")
	}
	brews, back := planted().all(3)
	slices.Reverse(brews)
	for _, b := range brews {
		back.Add(b)
	}
	r.Record = back
	if got := r.HTML(); !bytes.Equal(got, want) {
		t.Errorf("brews taken in backwards give another page, from byte %d on", differs(got, want))
	}
	r.Made = r.Made.AddDate(0, 0, 1)
	if bytes.Equal(r.HTML(), want) {
		t.Error("the page does not say when it was made")
	}
}

// What the page says is what brew/drift says.
func TestTheFindingsAreThoseOfTheSet(t *testing.T) {
	r := planted().report(1)
	p := parse(t, string(r.HTML()))
	found := r.Record.Choose(r.Choice).Findings(r.Baseline)
	noted := false
	items := p.all("ol.findings")[0].all("li")
	if len(items) != len(found.Findings) || len(items) < 2 {
		t.Fatalf("%d findings on the page, %d in the set; want some", len(items), len(found.Findings))
	}
	for i, f := range found.Findings {
		if said := plain(items[i].text); !strings.EqualFold(said[:len(f.Text)], f.Text) || said[len(f.Text)] != '.' {
			t.Errorf("finding %d reads %q, want %q", i+1, said, f.Text)
		}
		if !strings.Contains(items[i].text, f.Note) {
			t.Errorf("finding %d leaves out %q", i+1, f.Note)
		}
		noted = noted || f.Note != ""
	}
	if !noted {
		t.Error("no finding has a note to look for")
	}
	if !strings.Contains(plain(p.text), strconv.Itoa(found.Looked)+" questions were asked") {
		t.Error("the page does not say how much was asked")
	}
	quiet := parse(t, string(usual(20).report(1).HTML()))
	if five := parse(t, string(usual(5).report(1).HTML())); !strings.Contains(plain(five.text), "Nothing can be asked yet of so few brews.") {
		t.Error("where nothing was asked the page does not say so")
	}
	if len(quiet.all("ol")) > 0 || !strings.Contains(plain(quiet.text), "Nothing stands out from chance, of ") {
		t.Error("where nothing stands out the page does not say so")
	}
}

func TestTheTableIsThatOfTheSet(t *testing.T) {
	r := planted().report(1)
	p := parse(t, string(r.HTML()))
	table := r.Record.Choose(r.Choice).Table(drift.ByDrift)
	var rows []*element
	for _, tr := range p.all("table")[0].all("tr") {
		if tr.kids[0].attr["scope"] == "row" {
			rows = append(rows, tr)
		}
	}
	if len(rows) != len(table) {
		t.Fatalf("%d rows, want %d", len(rows), len(table))
	}
	for i, s := range table {
		cells := rows[i].kids
		missing := s.Tally.Unmarked + s.Tally.Skipped + s.Tally.NotReached
		if cells[0].text != s.Column.Name || cells[1].text != strconv.Itoa(s.Tally.Marked) || cells[2].text != strconv.Itoa(missing) {
			t.Errorf("row %q of %+v", plain(rows[i].text), s.Tally)
		}
	}
	// A third of the blooms is not marked, so where they lie is withheld, with
	// the reason; the rest is told.
	if why := rows[0].all("a.why"); len(why) != 4 {
		t.Errorf("the bloom withholds %d figures, want median, middle half, trend and limits: %s", len(why), plain(rows[0].text))
	} else if note := p.id(strings.TrimPrefix(why[0].attr["href"], "#")); !strings.Contains(note.text, string(drift.Gaps)) {
		t.Errorf("the reason given is %q", note.text)
	}
	if why := rows[1].all("a.why"); len(why) != 0 || !strings.HasPrefix(rows[1].kids[3].text, "+") {
		t.Errorf("the pour's row is %q", plain(rows[1].text))
	}
	for _, e := range append(p.all("figure"), p.all("table")[0]) {
		if minus := regexp.MustCompile(`-[0-9]`).FindString(e.text); minus != "" {
			t.Errorf("a hyphen stands for a minus in %q", minus)
		}
	}
	few := parse(t, string(usual(5).report(1).HTML()))
	if !strings.Contains(few.text, "too few brews, 6 is the least for median") || !strings.Contains(few.text, "too few brews, 25 is the least for limits") {
		t.Error("a figure withheld for want of brews does not say how many it wants")
	}
}

// The bed counts against nobody, and a person's share is that by slip.
func TestPersonsAreJudgedBySlip(t *testing.T) {
	r := planted().report(1)
	p := parse(t, string(r.HTML()))
	table := p.all("table")[1]
	if strings.Contains(table.text, "drawdown, end") {
		t.Error("the bed's beat stands among the persons'")
	}
	set := r.Record.Choose(drift.Choice{Persons: []string{"Mo"}, AllVersions: true})
	s, _ := set.Series(drift.Beats, "second pour, end", drift.BySlip)
	body := table.all("tbody")[1]
	row := body.all("tr")[1]
	if body.all("th")[0].text != "Mo" || row.kids[1].text != strconv.Itoa(s.Tally.Marked) {
		t.Errorf("Mo's pour: %q, want %d marks", plain(body.text), s.Tally.Marked)
	}
	drifts, _ := set.Series(drift.Beats, "second pour, end", drift.ByDrift)
	own, all := fmt.Sprintf("+%.1f", s.Summary().Median.Value), fmt.Sprintf("+%.1f", drifts.Summary().Median.Value)
	if own == all || row.kids[3].text != own {
		t.Errorf("Mo's median is %s, want the slip's %s, not the drift's %s", row.kids[3].text, own, all)
	}
	on := s.Summary().OnTime
	if want := strconv.Itoa(int(100*on.Rate() + 0.5)); !strings.HasPrefix(row.kids[4].text, want+" (") {
		t.Errorf("Mo is on time in %q, want %s", row.kids[4].text, want)
	}
	fits := r.Record.Fit(r.Attempts)
	if fits[0].Standing != drift.Failed || fits[1].Standing != drift.Failed && fits[1].Standing != drift.Passed {
		t.Fatalf("attempts %v, %v", fits[0].Standing, fits[1].Standing)
	}
	text := plain(p.all("table")[2].text)
	for i, f := range fits {
		for _, want := range []string{f.Attempt.Person, string(f.Standing), strconv.Itoa(f.OnTime) + " of " + strconv.Itoa(f.Of) + plain(fmt.Sprintf("%.0f %%", 100*f.AtLeast))} {
			if !strings.Contains(text, want) {
				t.Errorf("attempt %d is not said to be %q: %s", i, want, text)
			}
		}
	}
}

func TestAChoiceIsSaidAndKept(t *testing.T) {
	r := planted().report(1)
	r.Choice = drift.Choice{Persons: []string{"Mo"}, Since: opens, Until: time.Date(2026, 4, 2, 0, 0, 0, 0, opens.Location()), Last: 10}
	r.LeftOut = 3
	p := parse(t, string(r.HTML()))
	text := plain(p.text)
	for _, want := range []string{"10 brews, ", "by Mo. Version ", ", one of 2 versions", "by Mo, from 2 March 2026 on, up to 1 April 2026, of these the latest 10 brews", "3 brews of the journal cannot be read", "Made 1 July 2026"} {
		if !strings.Contains(text, strings.ReplaceAll(want, " ", " ")) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if strings.Contains(p.all("table")[1].text, "Ada") || strings.Contains(p.all("table")[len(p.all("table"))-1].text, "Ada") {
		t.Error("a page of Mo's brews tells of Ada")
	}
	body := p.all("table")[1].all("tbody")[0]
	if got := body.all("tr")[1].kids[1].text; got != "10" {
		t.Errorf("Mo's pours are %s, want the 10 of the choice", got)
	}
}

// Nobody has to do without what a figure rests on.
func TestThePageSaysWhatItDoesNotKnow(t *testing.T) {
	p := parse(t, string(planted().report(1).HTML()))
	text := plain(p.text)
	for _, want := range []string{"As far as it goes", "As far as the marks tell, and 41 of 360 are missing", "are withheld, for", "How to read it"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	full := parse(t, string(usual(200).report(5).HTML()))
	if !strings.Contains(plain(full.text), "As far as the marks tell, which are all there: 600") {
		t.Error("marks that are all there are not said to be")
	}
}
