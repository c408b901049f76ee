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
	Freedom  float64       // degrees of freedom behind U; infinite where the thermometer's own error is
	Readings int
	Residual float64 // of the fit, in °C: the root of the mean square, by degrees of freedom; NaN of one reading
}

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
// uncertainty of Tau follows from the larger of the thermometer's and of the
// scatter.
//
// The error is a *Slip: too few readings, one before the boil, one that is not
// below the boiling point and above the air, or readings that no time constant
// between 30 s and 48 h fits.
func Calibrate(boils, air brew.Celsius, thermometer float64, readings ...TimedReading) (Kettle, error) {
	if s := fits(boils, air, thermometer, readings); s != nil {
		return Kettle{}, s
	}
	tau, ok := leastTauOf(boils, air, readings)
	if !ok {
		return Kettle{}, slip(OutOfRange, "", "read it again, the lid as it is when you brew", "no kettle cools like these readings")
	}
	k := Kettle{Tau: seconds(tau), Readings: len(readings), Residual: math.NaN()}
	squares, steep := misfit(boils, air, readings, tau)
	sigma := thermometer
	k.Freedom = math.Inf(1)
	if df := float64(len(readings) - 1); df > 0 {
		k.Residual = math.Sqrt(squares / df)
		if k.Residual > thermometer {
			sigma, k.Freedom = k.Residual, df
		}
	}
	k.U = seconds(sigma / math.Sqrt(steep))
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
