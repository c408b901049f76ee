package cup_test

import "math/rand/v2"

// seeded returns a source of chance that is the same each time.
func seeded(n uint64) *rand.Rand { return rand.New(rand.NewPCG(n, 6)) }
