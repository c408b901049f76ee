package bar

// use is a stretch [from, to) of a resource that a rigid brew takes, in ticks
// from its zero.
type use struct {
	resource int
	from, to int
}

// shape is a pattern with every window closed.
type shape struct {
	uses  []use
	first int // start of its first act
	last  int // end of its last
	ready int // when it is done
}

func (pat *Pattern) shape() shape {
	sh := shape{first: pat.Acts[0].Start, last: pat.Acts[0].Start}
	for _, a := range pat.Acts {
		sh.first, sh.last = min(sh.first, a.Start), max(sh.last, a.Start+a.Length)
		for _, r := range a.Uses {
			sh.take(use{r, a.Start, a.Start + a.Length})
		}
	}
	for _, h := range pat.Holds {
		to := pat.Acts[h.To]
		sh.take(use{h.Resource, pat.Acts[h.From].Start, to.Start + to.Length})
	}
	done := pat.Acts[pat.Done]
	sh.ready = done.Start + done.Length
	return sh
}

// take adds a use, unless it is empty.
func (sh *shape) take(u use) {
	if u.from < u.to {
		sh.uses = append(sh.uses, u)
	}
}

// possible reports whether one brew of the shape can be made at all: its own
// acts in order, within the capacities.
func (pat *Pattern) possible(sh shape, resources []Resource) bool {
	for i, a := range pat.Acts {
		for _, b := range pat.Acts[i].Behind {
			if a.Start < pat.Acts[b].Start+pat.Acts[b].Length {
				return false
			}
		}
	}
	for _, u := range sh.uses {
		n := 0
		for _, o := range sh.uses {
			if o.resource == u.resource && o.from <= u.from && u.from < o.to {
				n++
			}
		}
		if n > resources[u.resource].Capacity {
			return false
		}
	}
	return true
}

// apart is the set of differences between the zeros of two rigid brews at
// which they want the same at once; bit i stands for the difference i+base.
type apart struct {
	base int
	at   set
}

// clash returns the differences zero(b)-zero(a) at which uses of the given
// kind overlap.
func clash(a, b shape, counts func(resource int) bool) apart {
	low, high := 0, 0
	each := func(do func(from, to int)) {
		for _, u := range a.uses {
			for _, v := range b.uses {
				if u.resource == v.resource && counts(u.resource) {
					do(u.from-v.to+1, u.to-v.from) // v overlaps u while from <= difference < to
				}
			}
		}
	}
	each(func(from, to int) { low, high = min(low, from), max(high, to) })
	out := apart{low, newSet(high - low + 1)}
	each(func(from, to int) { out.at.addRange(from-low, to-low) })
	return out
}

// forbids reports whether the difference clashes.
func (ap apart) forbids(difference int) bool {
	i := difference - ap.base
	return i >= 0 && i < 64*len(ap.at) && ap.at.has(i)
}

// soonestBehind returns the least difference from zero up that does not
// clash.
func (ap apart) soonestBehind() int {
	d := 0
	for ap.forbids(d) {
		d++
	}
	return d
}
