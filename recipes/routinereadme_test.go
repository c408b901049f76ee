package recipes_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"barline/brew"
	"barline/recipes"
)

var routineFence = regexp.MustCompile("(?ms)^```yaml routine\n(.*?)^```$")

func TestTheRoutineOfTheReadmeIsRead(t *testing.T) {
	blocks := routineFence.FindAllStringSubmatch(string(read(t, "README.md")), -1)
	if len(blocks) != 1 {
		t.Fatalf("%d routines", len(blocks))
	}
	doc, _ := recipes.ParseRoutine("x.yaml", []byte(blocks[0][1]))
	if _, faults := doc.Resolve(onShelf(t), brew.Bar{}); len(faults) > 0 {
		t.Error(faults.Text())
	}
}

// The keys in README.md are those that the hint to an unknown key lists.
func TestTheReadmeHasEveryKeyOfARoutine(t *testing.T) {
	for head, at := range map[string]string{
		"key of a routine | needed | value | left out": "name:",
		"key of `rules` | value | left out":            "points:",
		"key of a brew | needed | value | left out":    "id: left",
		"key of a part | value | left out":             "pause: 8 s",
	} {
		text := strings.Replace(everything, at, "xyzzy: 1, "+at, 1)
		if at == "name:" {
			text = "xyzzy: 1\n" + everything
		}
		_, faults := recipes.ParseRoutine("x.yaml", []byte(text))
		if len(faults) != 1 {
			t.Fatalf("%s: %v", head, faults)
		}
		_, words, _ := strings.Cut(faults[0].Hint, "its keys are ")
		want := strings.Split(strings.Replace(words, " and ", ", ", 1), ", ")
		if got := firstCells(rows(t, head)); !slices.Equal(got, want) {
			t.Errorf("%s: got %v, wanted %v", head, got, want)
		}
	}
}

func TestTheReadmeSaysWhatARoutineNeeds(t *testing.T) {
	for _, r := range rows(t, "key of a routine | needed | value | left out") {
		text := regexp.MustCompile("(?m)^"+bare(r[0])+":.*\n(  .*\n)*").ReplaceAllString(everything, "")
		_, faults := recipes.ParseRoutine("x.yaml", []byte(text))
		if needed := len(faults) > 0; needed != (r[1] == "yes") {
			t.Errorf("%s: needed %q, but %v", r[0], r[1], faults)
		}
	}
	for _, r := range rows(t, "key of a brew | needed | value | left out") {
		text := regexp.MustCompile(`( \{|, )`+bare(r[0])+`: ("[^"]*"|[^,}]*)`).ReplaceAllString(everything, "$1")
		text = regexp.MustCompile(`(\{|, ), `).ReplaceAllString(text, "$1")
		_, faults := recipes.ParseRoutine("x.yaml", []byte(text))
		if needed := len(faults) > 0; needed != (r[1] == "yes") {
			t.Errorf("%s: needed %q, but %v\n%s", r[0], r[1], faults, text)
		}
	}
}
