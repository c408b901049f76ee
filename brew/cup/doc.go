// Package cup is the physics and the arithmetic around a cup. So far it knows
// the air and the water of a bar: the pressure at an altitude, and where water
// boils under it.
//
// It is pure, and judges no timing.
package cup
