package rehearsal_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"barline/tui/draw/svg"
	"barline/tui/rehearsal"
)

func TestShots(t *testing.T) {
	dir := os.Getenv("SHOTS")
	if dir == "" {
		t.Skip()
	}
	for _, size := range [][2]int{{80, 24}, {40, 12}, {200, 60}} {
		for name, play := range map[string]func(w, h int) *player{
			"ready": func(w, h int) *player { return opened(t, w, h, rehearsal.Options{Plan: plan(t, "three"), By: "Imre"}) },
			"early": func(w, h int) *player {
				return begun(t, w, h, rehearsal.Options{Plan: plan(t, "three"), By: "Imre"}).perform(12, 0)
			},
			"mid": func(w, h int) *player {
				return begun(t, w, h, rehearsal.Options{Plan: plan(t, "three"), By: "Imre"}).perform(183, 0.8)
			},
			"late": func(w, h int) *player {
				return begun(t, w, h, rehearsal.Options{Plan: plan(t, "three"), By: "Imre"}).perform(330, 2.3).wait(370)
			},
			"minute": func(w, h int) *player {
				return begun(t, w, h, rehearsal.Options{Plan: plan(t, "three"), By: "Imre"}).perform(543, 0.4)
			},
			"mixed": func(w, h int) *player {
				return begun(t, w, h, rehearsal.Options{Plan: plan(t, "mixed")}).perform(330, 0.4)
			},
			"stop": func(w, h int) *player {
				return begun(t, w, h, rehearsal.Options{Plan: plan(t, "mixed")}).perform(200, 0.4).press("q", 201)
			},
			"over": func(w, h int) *player {
				return begun(t, w, h, rehearsal.Options{Plan: plan(t, "three")}).perform(599, 0.9).press(" ", 604.2).press("y", 605)
			},
		} {
			c := play(size[0], size[1]).page.Draw()
			file := fmt.Sprintf("%s/%s-%dx%d", dir, name, size[0], size[1])
			os.WriteFile(file+".txt", []byte(strings.Join(c.Lines(), "\n")), 0o644)
			os.WriteFile(file+".svg", []byte(svg.SVG(c, svg.Dark)), 0o644)
		}
	}
}
