package page_test

import (
	"bufio"
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// browser is a headless Chromium that is told what to do through a pipe, by the
// DevTools protocol (https://chromedevtools.github.io/devtools-protocol/).
type browser struct {
	t       *testing.T
	to      *os.File
	from    *bufio.Reader
	session string
	asked   int
	events  []message
}

type message struct {
	ID     int             `json:"id"`
	Method string          `json:"method"`
	Params json.RawMessage `json:"params"`
	Result json.RawMessage `json:"result"`
	Error  *struct{ Message string }
}

// open starts the browser named by BARLINE_BROWSER, which .ci/browser sets.
func open(t *testing.T) *browser {
	t.Helper()
	name := os.Getenv("BARLINE_BROWSER")
	if name == "" {
		t.Skip("BARLINE_BROWSER names no Chromium; .ci/browser installs one and runs this")
	}
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	t.Cleanup(cancel)
	cmd := exec.CommandContext(ctx, name, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-dev-shm-usage", "--hide-scrollbars",
		"--remote-debugging-pipe", "--user-data-dir="+t.TempDir(), "about:blank")
	ours, theirs, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	in, out, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd.ExtraFiles = []*os.File{ours, out} // its descriptors 3 and 4
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	ours.Close()
	out.Close()
	b := &browser{t: t, to: theirs, from: bufio.NewReader(in)}
	t.Cleanup(func() {
		b.say("Browser.close", nil)
		theirs.Close()
		cmd.Wait()
		in.Close()
	})
	var target struct{ TargetID string }
	b.ask("Target.createTarget", map[string]any{"url": "about:blank"}, &target)
	var attached struct{ SessionID string }
	b.ask("Target.attachToTarget", map[string]any{"targetId": target.TargetID, "flatten": true}, &attached)
	b.session = attached.SessionID
	for _, domain := range []string{"Page", "Network", "Log", "Runtime", "Accessibility"} {
		b.ask(domain+".enable", nil, nil)
	}
	return b
}

func (b *browser) say(method string, params any) int {
	b.asked++
	text, err := json.Marshal(map[string]any{"id": b.asked, "method": method, "params": orNone(params), "sessionId": b.session})
	if err != nil {
		b.t.Fatal(err)
	}
	if b.session == "" {
		text = bytes.Replace(text, []byte(`,"sessionId":""`), nil, 1)
	}
	b.to.Write(append(text, 0))
	return b.asked
}

func orNone(params any) any {
	if params == nil {
		return map[string]any{}
	}
	return params
}

// hear returns the next message.
func (b *browser) hear() message {
	b.t.Helper()
	text, err := b.from.ReadBytes(0)
	if err != nil {
		b.t.Fatalf("the browser has gone: %v", err)
	}
	var m message
	if err := json.Unmarshal(text[:len(text)-1], &m); err != nil {
		b.t.Fatal(err)
	}
	return m
}

// ask waits for the answer; what happens meanwhile is kept.
func (b *browser) ask(method string, params, answer any) {
	b.t.Helper()
	id := b.say(method, params)
	for {
		m := b.hear()
		if m.ID != id {
			b.events = append(b.events, m)
			continue
		}
		if m.Error != nil {
			b.t.Fatalf("%s: %s", method, m.Error.Message)
		}
		if answer != nil {
			if err := json.Unmarshal(m.Result, answer); err != nil {
				b.t.Fatal(err)
			}
		}
		return
	}
}

// visit opens a page, and returns when it has been loaded.
func (b *browser) visit(html []byte) {
	b.t.Helper()
	path := filepath.Join(b.t.TempDir(), "report.html")
	if err := os.WriteFile(path, html, 0o644); err != nil {
		b.t.Fatal(err)
	}
	b.events = nil
	b.ask("Page.navigate", map[string]any{"url": "file://" + path}, nil)
	for !b.happened("Page.loadEventFired") {
		b.events = append(b.events, b.hear())
	}
}

func (b *browser) happened(method string) bool {
	for _, e := range b.events {
		if e.Method == method {
			return true
		}
	}
	return false
}

// requests returns the addresses that the page has asked for.
func (b *browser) requests() (out []string) {
	for _, e := range b.events {
		var p struct{ Request struct{ URL string } }
		if e.Method == "Network.requestWillBeSent" && json.Unmarshal(e.Params, &p) == nil {
			out = append(out, p.Request.URL)
		}
	}
	return out
}

// complaints returns what the browser has to say against the page.
func (b *browser) complaints() (out []string) {
	for _, e := range b.events {
		switch e.Method {
		case "Log.entryAdded", "Runtime.exceptionThrown", "Runtime.consoleAPICalled":
			out = append(out, string(e.Params))
		}
	}
	return out
}

func (b *browser) value(expression string, into any) {
	b.t.Helper()
	var answer struct {
		Result struct{ Value json.RawMessage }
	}
	b.ask("Runtime.evaluate", map[string]any{"expression": expression, "returnByValue": true}, &answer)
	if err := json.Unmarshal(answer.Result.Value, into); err != nil {
		b.t.Fatalf("%s: %v", expression, err)
	}
}

// screen sets the size of the window and what its reader prefers.
func (b *browser) screen(width int, scheme string) {
	b.ask("Emulation.setDeviceMetricsOverride", map[string]any{"width": width, "height": 1100, "deviceScaleFactor": 1, "mobile": false}, nil)
	b.ask("Emulation.setEmulatedMedia", map[string]any{"features": []any{map[string]any{"name": "prefers-color-scheme", "value": scheme}}}, nil)
}

// picture is the whole page; it is kept in the folder BARLINE_PICTURES, if that
// is set, to be looked at.
func (b *browser) picture(name string) image.Image {
	b.t.Helper()
	var shot struct{ Data string }
	b.ask("Page.captureScreenshot", map[string]any{"format": "png", "captureBeyondViewport": true}, &shot)
	data := b.kept(name+".png", shot.Data)
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		b.t.Fatal(err)
	}
	return img
}

func (b *browser) kept(name, base64Data string) []byte {
	b.t.Helper()
	data, err := base64.StdEncoding.DecodeString(base64Data)
	if err != nil {
		b.t.Fatal(err)
	}
	if dir := os.Getenv("BARLINE_PICTURES"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			b.t.Fatal(err)
		}
	}
	return data
}

// The page as a reader has it: no script, no request, no complaint, light and
// dark, on a phone and on paper.
func TestAReportInABrowser(t *testing.T) {
	b := open(t)
	html := planted().report(1).HTML()

	// A page that asks for something is seen to ask, and to complain: so the
	// checks below can fail.
	asks := `<img src="http://127.0.0.1:9/x.png"/>`
	b.visit([]byte(`<!DOCTYPE html><html><body>` + asks + `</body></html>`))
	if got := b.requests(); len(got) < 2 || !strings.Contains(strings.Join(got, " "), "127.0.0.1:9") {
		t.Fatalf("a request was not seen, only %q", got)
	}

	// The policy holds against what a report would never write.
	b.visit(bytes.Replace(html, []byte("<main>"), []byte("<main>"+asks+"<script>document.title='ran'</script>"), 1))
	if got := b.complaints(); len(got) != 2 || strings.Count(strings.Join(got, "\n"), "Content Security Policy") < 2 {
		t.Errorf("an image and a script in a report: %d complaints, want 2: %s", len(got), got)
	}
	var title string
	if b.value("document.title", &title); title == "ran" {
		t.Error("a script in a report ran")
	}

	b.ask("Emulation.setScriptExecutionDisabled", map[string]any{"value": true}, nil)
	b.visit(html)
	if got := b.requests(); len(got) != 1 || !strings.HasPrefix(got[0], "file://") {
		t.Errorf("the page asked for %q, want itself alone", got)
	}
	if got := b.complaints(); len(got) > 0 {
		t.Errorf("the browser complains: %s", got)
	}
	b.schemes()
	b.narrow()
	b.readAloud()
	b.printed()
}

// schemes looks at the page in the light and in the dark.
func (b *browser) schemes() {
	for scheme, ground := range map[string][3]uint32{"light": {0xff, 0xff, 0xff}, "dark": {0x14, 0x17, 0x1b}} {
		b.screen(900, scheme)
		img := b.picture("report-" + scheme)
		size := img.Bounds()
		if size.Dx() != 900 || size.Dy() < 2500 {
			b.t.Errorf("%s: the page is %v", scheme, size)
		}
		colours, grounds := map[[3]uint32]int{}, 0
		for y := size.Min.Y; y < size.Max.Y; y += 3 {
			for x := size.Min.X; x < size.Max.X; x++ {
				r, g, bl, _ := img.At(x, y).RGBA()
				c := [3]uint32{r >> 8, g >> 8, bl >> 8}
				if colours[c]++; c == ground {
					grounds++
				}
			}
		}
		if all := size.Dx() * size.Dy() / 3; grounds < all/2 || grounds > all*98/100 || len(colours) < 20 {
			b.t.Errorf("%s: %d of %d are ground, in %d colours", scheme, grounds, all, len(colours))
		}
	}
}

// narrow checks that on a phone nothing but charts and tables is wider than
// the screen.
func (b *browser) narrow() {
	for _, width := range []int{360, 1280} {
		b.screen(width, "light")
		var wide int
		if b.value("document.documentElement.scrollWidth", &wide); wide > width {
			b.t.Errorf("on a screen of %d the page is %d wide", width, wide)
		}
		b.picture(fmt.Sprintf("report-%d", width))
	}
}

// readAloud checks what a screen reader is given: each picture as an image with
// its name and its words, each table with its name.
func (b *browser) readAloud() {
	var tree struct {
		Nodes []struct {
			Ignored                 bool
			Role, Name, Description struct{ Value any }
		}
	}
	b.ask("Accessibility.getFullAXTree", nil, &tree)
	images, tables := 0, 0
	for _, n := range tree.Nodes {
		name := fmt.Sprint(n.Name.Value)
		switch role := fmt.Sprint(n.Role.Value); {
		case n.Ignored:
		case role == "image" || role == "img":
			images++
			if len(name) < 60 {
				b.t.Errorf("a picture is read as %q", name)
			}
		case role == "table":
			tables++
			if len(name) < 20 {
				b.t.Errorf("a table is read as %q", name)
			}
		}
	}
	var pictures int
	b.value("document.querySelectorAll('svg').length", &pictures)
	if images != pictures || pictures < 6 || tables != 3 {
		b.t.Errorf("%d pictures are read of %d, %d tables of 3", images, pictures, tables)
	}
}

// printed checks that the page is printed on A4, 595 by 842 points, light, with
// no chart parted.
func (b *browser) printed() {
	b.screen(900, "dark")
	var paper struct{ Data string }
	b.ask("Page.printToPDF", map[string]any{"preferCSSPageSize": true, "printBackground": true}, &paper)
	pdf := b.kept("report.pdf", paper.Data)
	boxes := regexp.MustCompile(`/MediaBox ?\[ ?0 0 ([0-9.]+) ([0-9.]+) ?\]`).FindAllSubmatch(pdf, -1)
	if len(boxes) < 3 || len(boxes) > 12 {
		b.t.Errorf("%d pages", len(boxes))
	}
	for _, box := range boxes {
		if w, h := num(b.t, string(box[1])), num(b.t, string(box[2])); w < 594 || w > 596 || h < 841 || h > 843 {
			b.t.Errorf("a page of %.1f by %.1f points", w, h)
		}
	}
	b.ask("Emulation.setEmulatedMedia", map[string]any{"media": "print", "features": []any{map[string]any{"name": "prefers-color-scheme", "value": "dark"}}}, nil)
	var style []string
	b.value("[getComputedStyle(document.querySelector('figure')).breakInside, getComputedStyle(document.body).backgroundColor]", &style)
	if style[0] != "avoid" || style[1] != "rgb(255, 255, 255)" {
		b.t.Errorf("on paper figures break by %q, on the ground %s", style[0], style[1])
	}
}
