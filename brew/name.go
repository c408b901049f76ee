package brew

import "strconv"

// stepName is what a step is called by people and in statistics.
type stepName struct{ name, key string }

// nameSteps gives each step its names: the label and the id where the writer
// gave them, else the action with its ordinal. People are spared the ordinal
// of an action that occurs once.
func nameSteps(steps []Step) []stepName {
	all, seen := map[Action]int{}, map[Action]int{}
	for _, s := range steps {
		all[s.Action]++
	}
	out := make([]stepName, len(steps))
	for i, s := range steps {
		seen[s.Action]++
		key := ordinal(seen[s.Action]) + " " + string(s.Action)
		name := key
		if all[s.Action] == 1 {
			name = string(s.Action)
		}
		if s.Label != "" {
			name = s.Label
		}
		if s.ID != "" {
			key = s.ID
		}
		out[i] = stepName{name, key}
	}
	return out
}

var ordinals = [...]string{"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"}

// ordinal returns 1 as first, 2 as second, and past ten 11th, 21st.
func ordinal(n int) string {
	if n <= len(ordinals) {
		return ordinals[n-1]
	}
	suffix := "th"
	if tens := n / 10 % 10; tens != 1 {
		switch n % 10 {
		case 1:
			suffix = "st"
		case 2:
			suffix = "nd"
		case 3:
			suffix = "rd"
		}
	}
	return strconv.Itoa(n) + suffix
}
