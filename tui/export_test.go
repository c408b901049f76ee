package tui

// Sift is what takes a terminal's answers out of what is read from it.
func Sift(sync func()) func([]byte) []byte { return (&answers{sync: sync}).sift }
