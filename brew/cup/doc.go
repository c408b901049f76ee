// Package cup is the physics and the arithmetic around a cup: how strong it
// is, how much of the coffee it holds, at what temperature water boils and how
// fast it cools, and what a drift from the recipe did to the taste.
//
//	Solve, BalanceOf                  strength and extraction by mass balance, any figure from the others
//	SolveServer, ExtractionOf         the same with a bypass, and of a brew that was read
//	SolveUsual, Assumed               the same where something is taken as usual, and what
//	Quantity, Instruments, Propagate  how far a figure may be off (JCGM 100:2008, the GUM)
//	Dilute, Thin, ShareOut            water into a concentrate, and cups of a size
//	PressureAt, AltitudeOf, Boils     the air of a bar, and where water boils in it
//	Density, Grams, SpecificHeat      its water
//	Calibrate, Kept, RestFor          how long a kettle rests off the boil
//	Mix, SlurryOf, Drinkable, Scalds  water on grounds and in a vessel, the cup on its way down
//	HowFar, Expect, ContactEffect     what a steep should give, by published figures: estimates
//	Regress, Learn, LearnMostRead     what a bar's own brews say that drifts do to the cup
//	Judge, Moves                      one cup that was off: whose it was, and which way to move
//	Classic, Cautions                 the classic box, and the usual words of care
//
// Masses are in grams, shares in per cent, temperatures in degrees Celsius.
// A figure that cannot be true comes back as a *Slip, which says what it
// probably is and what to do.
//
// It is pure, and judges no timing: what drifted is told to it as figures.
package cup
