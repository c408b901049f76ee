package cup

import (
	"math"
	"time"

	"barline/brew"
)

// TimedReading is what a thermometer read some time after the kettle was
// taken off the boil.
type TimedReading struct {
	After time.Duration
	At    brew.Celsius
}

// Kettle is a kettle whose cooling was measured.
type Kettle struct {
	Tau      time.Duration // time constant of Newton's law
	U        time.Duration // its standard uncertainty
	Freedom  float64       // degrees of freedom behind U; 0 is taken as without end
	Readings int           // 0 for one that was calibrated at another time
	Residual float64       // of the fit, in °C: the root of the mean square, by degrees of freedom; NaN of one reading
}

// Kept returns the kettle that was calibrated at another time, by its time
// constant and the standard uncertainty of that. The error is a *Slip outside
// 30 s to 48 h, and for an uncertainty of half of that or more.
func Kept(tau, u time.Duration) (Kettle, error) {
	switch {
	case tau < leastTau || tau > mostTau:
		return Kettle{}, slip(OutOfRange, "", "calibrate it with barline cup rest --readings", "no kettle has a time constant of %s, which is %s to %s", brew.Spoken(tau), brew.Spoken(leastTau), brew.Spoken(mostTau))
	case u < 0 || u > tau/2:
		return Kettle{}, slip(OutOfRange, "", "read the kettle more often", "a time constant of %s ± %s is as good as none", brew.Spoken(tau), brew.Spoken(u))
	}
	return Kettle{Tau: tau, U: u}, nil
}

// Stated returns the kettle as it can be kept: its uncertainty widened by as
// much as few degrees of freedom widen an interval of 95 in 100.
func (k Kettle) Stated() Kettle {
	return Kettle{Tau: k.Tau, U: seconds(k.U.Seconds() * k.half() / student(0.95, math.Inf(1)))}
}

// half is how many standard uncertainties to each side hold 95 in 100 cases.
func (k Kettle) half() float64 {
	if k.Freedom == 0 {
		return student(0.95, math.Inf(1))
	}
	return student(0.95, k.Freedom)
}

// UsualThermometer is how far a thermometer may be off where nobody says: its
// standard uncertainty in °C; common practice, no source.
const UsualThermometer = 0.5

// statedFreedom is how much a stated uncertainty is worth in degrees of
// freedom: 8 where it is itself good to a quarter (JCGM 100:2008, G.4.2; from
// memory).
const statedFreedom = 8.0

// calibration bounds a time constant: a thimble and a flask.
const (
	leastTau = 30 * time.Second
	mostTau  = 48 * time.Hour
)

// Calibrate returns a kettle's time constant from readings after it left the
// boil in still air: the least squares of the readings' distances from
// Newton's curve through the boiling point at zero. thermometer is the
// thermometer's stated standard uncertainty, in °C; 0 where unknown, and then
// it takes two readings, for one leaves nothing to tell an error by. The
// uncertainty of Tau follows from what is stated and from the scatter, each by
// its degrees of freedom (the pooled variance).
//
// The error is a *Slip: too few readings, one before the boil, one that is not
// below the boiling point and above the air, one that is warmer than one before
// it, or readings that no time constant between 30 s and 48 h fits.
func Calibrate(boils, air brew.Celsius, thermometer float64, readings ...TimedReading) (Kettle, error) {
	if s := fits(boils, air, thermometer, readings); s != nil {
		return Kettle{}, s
	}
	tau, ok := leastTauOf(boils, air, readings)
	if !ok {
		return Kettle{}, slip(OutOfRange, "", "read it again, the lid as it is when you brew", "no kettle cools like these readings")
	}
	squares, steep := misfit(boils, air, readings, tau)
	stated, scatter := statedFreedom, float64(len(readings)-1)
	if thermometer == 0 {
		stated = 0
	}
	k := Kettle{Tau: seconds(tau), Freedom: stated + scatter, Readings: len(readings), Residual: math.NaN()}
	if scatter > 0 {
		k.Residual = math.Sqrt(squares / scatter)
	}
	k.U = seconds(math.Sqrt((stated*thermometer*thermometer + squares) / k.Freedom / steep))
	return k, nil
}

func fits(boils, air brew.Celsius, thermometer float64, readings []TimedReading) *Slip {
	if !(thermometer >= 0) || math.IsInf(thermometer, 0) {
		return slip(OutOfRange, "", "", "a thermometer's uncertainty of %v °C is none", thermometer)
	}
	if len(readings) == 0 || len(readings) == 1 && thermometer == 0 {
		return slip(TooFew, "", "read it twice or more, some minutes apart, or say how far your thermometer may be off",
			"%s, but it takes 2 to tell an error by", counted(len(readings)))
	}
	for _, r := range readings {
		switch {
		case r.After <= 0:
			return slip(OutOfRange, "", "count from the moment it leaves the boil", "a reading at %s is not behind the boil", brew.Clock(r.After))
		case !(r.At < boils):
			return slip(TooHot, "", "count from the moment it leaves the boil", "%s at %s is not below the boiling point here, %s", r.At, brew.Clock(r.After), boils)
		case !(r.At > air):
			return slip(TooCold, "", "check the air's temperature", "%s at %s is not above the air's %s", r.At, brew.Clock(r.After), air)
		}
	}
	return rises(thermometer, readings)
}

// rises finds a reading that is warmer than one before it by more than a
// thermometer may be off: a kettle off the boil only cools.
func rises(thermometer float64, readings []TimedReading) *Slip {
	for _, first := range readings {
		for _, then := range readings {
			if then.After > first.After && float64(then.At-first.At) > max(0.5, 3*thermometer) {
				return slip(Swapped, "", "check which was read when", "%s at %s is warmer than %s at %s, but a kettle off the boil only cools",
					then.At, brew.Clock(then.After), first.At, brew.Clock(first.After))
			}
		}
	}
	return nil
}

// misfit returns the sum of the squared distances from the curve, and of its
// squared slopes against the time constant in seconds.
func misfit(boils, air brew.Celsius, readings []TimedReading, tau float64) (squares, steep float64) {
	for _, r := range readings {
		t := r.After.Seconds()
		above := float64(boils-air) * math.Exp(-t/tau)
		off, slope := float64(r.At-air)-above, above*t/(tau*tau)
		squares, steep = squares+off*off, steep+slope*slope
	}
	return squares, steep
}

// leastTauOf returns the time constant, in seconds, of least squares. Each
// reading alone has one that fits it exactly, and the best one for all lies
// between the smallest and the largest of these; there the slope of the
// squares is halved in on.
func leastTauOf(boils, air brew.Celsius, readings []TimedReading) (tau float64, ok bool) {
	low, high := math.Inf(1), 0.0
	for _, r := range readings {
		alone := r.After.Seconds() / math.Log(float64((boils-air)/(r.At-air)))
		low, high = math.Min(low, alone), math.Max(high, alone)
	}
	for range 200 {
		tau = (low + high) / 2
		falling := 0.0 // half the negative slope of the squares
		for _, r := range readings {
			t := r.After.Seconds()
			above := float64(boils-air) * math.Exp(-t/tau)
			falling += (float64(r.At-air) - above) * above * t / (tau * tau)
		}
		if falling > 0 {
			low = tau
		} else {
			high = tau
		}
	}
	return tau, leastTau.Seconds() <= tau && tau <= mostTau.Seconds()
}
