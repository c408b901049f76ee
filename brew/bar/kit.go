package bar

// The resources of a bar, in the order of Kit.Resources.
const (
	Hands = iota
	Brewer
	Kettle
	Scale
	Voice
)

// Kit is what stands at the bar and who works there. A zero field is taken as
// one; zero scales are taken as one for each brewer.
type Kit struct {
	People, Brewers, Kettles, Scales int
}

// Resources returns the kit as a problem's resources.
func (k Kit) Resources() []Resource {
	brewers := max(k.Brewers, 1)
	scales := k.Scales
	if scales == 0 {
		scales = brewers
	}
	return []Resource{
		Hands:  {"hands", max(k.People, 1)},
		Brewer: {"brewer", brewers},
		Kettle: {"kettle", max(k.Kettles, 1)},
		Scale:  {"scale", max(scales, 1)},
		Voice:  {"voice", 1},
	}
}
