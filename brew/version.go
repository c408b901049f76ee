package brew

import (
	"crypto/sha256"
	"encoding/hex"
	"strconv"
	"strings"
)

// version hashes the plan in normal form: what is done, when, with how much
// of the water, what is asked and in which window. Names, reasons and labels
// are left out, and the dose as long as the ratio stays. What a step says of
// how it is done counts: four turns are not eight.
func (p *Plan) version(r Recipe) string {
	n := make(normal, 0, 4096)
	n.word("1") // of the form itself
	n.word(string(p.Method))
	n.number(millionths(p.Water, p.Dose))
	n.number(int64(float64(p.Temperature)*100 + 0.5))
	for i, c := range p.Cues {
		n.word(string(c.Action))
		n.word(how(r.Steps[i]))
		n.number(int64(c.Start), int64(c.End), int64(c.Before)) // how far behind follows
		n.word(string(c.Hands))
		n.number(millionths(c.Water, p.Water), millionths(c.Bypass, p.Water)) // the scale follows
	}
	for _, b := range p.Beats {
		n.number(int64(b.Cue), int64(b.Window.Early), int64(b.Window.Late))
		n.truth(b.Asked)
		n.truth(b.AlsoAsked)
	}
	sum := sha256.Sum256(n)
	return hex.EncodeToString(sum[:6])
}

// how returns what a step says of how it is done. Amounts and lengths are no
// words: the plan has them as numbers.
func how(s Step) string {
	if s.usual().Kind != TextValue {
		return ""
	}
	return strings.TrimSpace(s.Text)
}

// millionths returns how much of the whole a part is: fine enough that a tenth
// of a gram shows in the most water there can be.
func millionths(part, whole Mass) int64 { return int64(proportion(part, 1_000_000, whole)) }

// normal is a text that says one thing in one way: every word carries its
// length, so that no two lists of words read the same.
type normal []byte

func (n *normal) word(s string) {
	n.number(int64(len(s)))
	*n = append(*n, s...)
}

func (n *normal) number(values ...int64) {
	for _, v := range values {
		*n = append(strconv.AppendInt(*n, v, 10), ' ')
	}
}

func (n *normal) truth(v bool) {
	*n = append(strconv.AppendBool(*n, v), ' ')
}
