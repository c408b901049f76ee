//go:build !linux

package clock

// Machine is this machine's clock.
type Machine = Portable
