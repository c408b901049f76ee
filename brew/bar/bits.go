package bar

import "math/bits"

// set is a set of small numbers, 64 to a word.
type set []uint64

func newSet(size int) set { return make(set, (size+63)/64) }

func (s set) has(i int) bool { return s[i>>6]>>(i&63)&1 != 0 }
func (s set) add(i int)      { s[i>>6] |= 1 << (i & 63) }

// addRange adds every number of [from, to).
func (s set) addRange(from, to int) {
	s.eachWord(from, to, func(w int, mask uint64) { s[w] |= mask })
}

// dropRange takes out every number of [from, to), as far as the set reaches.
func (s set) dropRange(from, to int) {
	s.eachWord(from, to, func(w int, mask uint64) { s[w] &^= mask })
}

func (s set) eachWord(from, to int, do func(w int, mask uint64)) {
	from, to = max(from, 0), min(to, 64*len(s))
	for from < to {
		w, end := from>>6, min(to, from|63+1)
		mask := ^uint64(0) << (from & 63)
		if end&63 != 0 {
			mask &= 1<<(end&63) - 1
		}
		do(w, mask)
		from = end
	}
}

// dropShifted takes out every number of the other set moved up by shift, which
// may be negative.
func (s set) dropShifted(o set, shift int) {
	words, b := shift>>6, uint(shift&63)
	for i, v := range o {
		if v == 0 {
			continue
		}
		if w := i + words; w >= 0 && w < len(s) {
			s[w] &^= v << b
		}
		if w := i + words + 1; b > 0 && w >= 0 && w < len(s) {
			s[w] &^= v >> (64 - b)
		}
	}
}

// firstAbove returns the least number of s without x that is at least from,
// -1 for none.
func (s set) firstAbove(x set, from int) int {
	for w := max(from, 0) >> 6; w < len(s); w++ {
		v := s[w] &^ x[w]
		if w == from>>6 {
			v &= ^uint64(0) << (from & 63)
		}
		if v != 0 {
			return w<<6 + bits.TrailingZeros64(v)
		}
	}
	return -1
}

// meetsShifted reports whether some number of s without x is one of the other
// set moved up by shift.
func (s set) meetsShifted(x, o set, shift int) bool {
	words, b := shift>>6, uint(shift&63)
	for i, v := range o {
		if v == 0 {
			continue
		}
		if w := i + words; w >= 0 && w < len(s) && s[w]&^x[w]&(v<<b) != 0 {
			return true
		}
		if w := i + words + 1; b > 0 && w >= 0 && w < len(s) && s[w]&^x[w]&(v>>(64-b)) != 0 {
			return true
		}
	}
	return false
}
