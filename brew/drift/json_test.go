package drift_test

import (
	"encoding/json"
	"testing"

	"barline/brew"
)

func TestRowAsJSON(t *testing.T) {
	rows := debrief(t, bowl(), start(), weighed(16.5, 181), nudge(17), stop(245)).Rows
	for i, want := range []string{
		`{"action":"pour","beat":1,"bed":"","behind_bed":false,"called_ns":15000000000,"carried_ns":0,"cue":0,"cup":"on time","drift_ns":500000000,` +
			`"early_ns":3000000000,"edge":"end","key":"first pour, end","late_ns":3000000000,"length_ns":15000000000,"marked_ns":15500000000,` +
			`"name":"the fill, end","owner":"person","person":"on time","raw_ns":16500000000,"reached":true,"slip_ns":500000000,` +
			`"start_unmarked":false,"status":"marked","step":"the fill",` +
			`"weight":{"has_target":true,"off_mg":1000,"read_mg":181000,"target_mg":180000},"written_ns":15000000000}`,
		`{"action":"break","beat":2,"bed":"","behind_bed":false,"called_ns":240000000000,"carried_ns":0,"cue":1,"cup":"","drift_ns":null,` +
			`"early_ns":3000000000,"edge":"start","key":"first break, start","late_ns":3000000000,"length_ns":8000000000,"marked_ns":null,` +
			`"name":"break, start","owner":"person","person":"","raw_ns":null,"reached":true,"slip_ns":null,` +
			`"start_unmarked":false,"status":"unmarked","step":"break","weight":null,"written_ns":240000000000}`,
	} {
		if got := sortedJSON(t, rows[i]); got != want {
			t.Errorf("row %d is\n%s\nwant\n%s", i, got, want)
		}
	}
}

func TestEveryListIsAList(t *testing.T) {
	var d map[string]any
	if err := json.Unmarshal([]byte(sortedJSON(t, debrief(t, bowl()))), &d); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"rows", "lengths"} {
		if _, ok := d[key].([]any); !ok {
			t.Errorf("%s is %v, want a list", key, d[key])
		}
	}
	if made, ok := d["lateness"].(map[string]any)["made"].([]any); !ok || len(made) != 0 {
		t.Errorf("made is %v, want an empty list", made)
	}
	unasked := debrief(t, brew.Recipe{Name: "Quayside soak", Method: brew.OtherMethod, Dose: 20 * brew.Gram, Water: 300 * brew.Gram, Temperature: 93,
		Steps: []brew.Step{{Action: brew.Pour, Amount: 300 * brew.Gram, Mark: brew.MarkNone}}}, start())
	if unasked.Rows == nil {
		t.Error("a brew without asked beats has null for rows")
	}
}

// sortedJSON encodes v with its keys in the order of the alphabet.
func sortedJSON(t *testing.T, v any) string {
	t.Helper()
	var decoded any
	if err := json.Unmarshal([]byte(asJSON(t, v)), &decoded); err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(decoded)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
