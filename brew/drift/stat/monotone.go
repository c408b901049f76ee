package stat

// Monotone returns the curve through ys that never falls and has the least
// squared distances to them, or with falling the one that never rises: equal
// stretches, each the mean of its values, by pooling neighbours that stand the
// wrong way (Ayer, Brunk, Ewing, Reid and Silverman 1955, Annals of
// Mathematical Statistics 26:641). It is the most that a trend of any shape can
// explain.
func Monotone(ys []float64, falling bool) []float64 {
	up := 1.0
	if falling {
		up = -1
	}
	type block struct {
		mean float64
		n    int
	}
	var blocks []block
	for _, y := range ys {
		b := block{up * y, 1}
		for i := len(blocks) - 1; i >= 0 && blocks[i].mean >= b.mean; i-- {
			n := blocks[i].n + b.n
			b = block{b.mean + (blocks[i].mean-b.mean)*float64(blocks[i].n)/float64(n), n}
			blocks = blocks[:i]
		}
		blocks = append(blocks, b)
	}
	out := make([]float64, 0, len(ys))
	for _, b := range blocks {
		for range b.n {
			out = append(out, up*b.mean)
		}
	}
	return out
}
