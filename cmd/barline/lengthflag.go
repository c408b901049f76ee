package main

import (
	"time"

	"barline/recipes"
)

// lengthFlag is a flag of a length of time as people write it, 5, 5s, 0:05 or
// 2 min; a bare figure is seconds.
type lengthFlag time.Duration

func (l *lengthFlag) String() string { return time.Duration(*l).String() }

// Type is what the help calls the value.
func (l *lengthFlag) Type() string { return "duration" }

// Set reads the value.
func (l *lengthFlag) Set(text string) error {
	d, err := time.ParseDuration(text)
	if err != nil {
		d, err = recipes.ReadLength(withUnit(text, "s"))
	}
	*l = lengthFlag(d)
	return err
}
