package stat_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"barline/brew/drift/stat"
)

// NIST/SEMATECH 6.3.2.2. The published limits use d2 rounded to 1.128, which
// moves them by 0.002; a limit of ranges from D4 rounded to 3.267 by 0.001.
func TestLimitsOfTheFlowrateExample(t *testing.T) {
	l := stat.LimitsOf(column(t, "nist_imr_flowrate.csv", "flowrate"))
	within(t, "centre", l.Centre, 50.81, 1e-9)
	within(t, "mean range", l.MeanRange, 1.8778, 5e-5)
	within(t, "upper limit", l.High, 55.8041, 2e-3)
	within(t, "lower limit", l.Low, 45.8159, 2e-3)
	within(t, "upper limit of ranges", l.HighRange, 6.1347, 1.2e-3)
	within(t, "the same with D4 unrounded", l.HighRange, 6.1338, 1e-4)
	within(t, "sigma", l.Sigma, 1.8778/1.128379, 1e-4)
	if l.N != 10 {
		t.Errorf("%d values in the baseline", l.N)
	}
}

func TestLimitsJudgeWhatIsBeyondThem(t *testing.T) {
	l := stat.LimitsOf([]float64{1, 2, 1, 2, 1})
	for x, want := range map[float64]bool{l.High: false, l.Low: false, l.High + 1e-9: true, l.Low - 1e-9: true, l.Centre: false} {
		if l.Out(x) != want {
			t.Errorf("%v is out of %v..%v: %v", x, l.Low, l.High, !want)
		}
	}
	within(t, "three sigma above", l.Z(l.High), 3, 1e-12)
	within(t, "the centre", l.Z(l.Centre), 0, 0)
	flat := stat.LimitsOf([]float64{2, 2, 2})
	if z := flat.Z(2); z != 0 {
		t.Errorf("the one value of a flat baseline lies %v sigma off", z)
	}
	if z := flat.Z(2.1); !math.IsInf(z, 1) {
		t.Errorf("another value lies %v sigma off a flat baseline", z)
	}
	one := stat.LimitsOf([]float64{3})
	nan(t, "limits of one value", one.Sigma, one.Low, one.High, one.MeanRange)
}

// NIST/SEMATECH 6.3.2.4, as published to two decimals, and limits tending to
// 52.5884 and 47.4116 (printed as 47.4115, cut off).
func TestEWMAOfTheNISTExample(t *testing.T) {
	xs := column(t, "nist_ewma.csv", "x")
	got := stat.EWMA(xs, 50, 2.0539, 0.3, 3)
	published, low, high := column(t, "nist_ewma.csv", "ewma_published"), column(t, "nist_ewma.csv", "lcl_exact_i"), column(t, "nist_ewma.csv", "ucl_exact_i")
	for i, s := range got {
		within(t, fmt.Sprint("average ", i+1), s.Value, published[i], 0.00501)
		within(t, fmt.Sprint("lower limit ", i+1), s.Low, low[i], 5.1e-5)
		within(t, fmt.Sprint("upper limit ", i+1), s.High, high[i], 5.1e-5)
		if s.Out() {
			t.Errorf("point %d is out, the example has none", i+1)
		}
	}
	late := stat.EWMA(slices.Repeat(xs, 50), 50, 2.0539, 0.3, 3)
	within(t, "the upper limit in the end", late[len(late)-1].High, 52.5884, 5e-5)
	within(t, "the lower limit in the end", late[len(late)-1].Low, 47.4116, 5e-5)
	if first := stat.EWMA([]float64{57}, 50, 2.0539, 0.3, 3)[0]; !first.Out() {
		t.Errorf("%+v is within", first)
	}
	if first := stat.EWMA([]float64{43}, 50, 2.0539, 0.3, 3)[0]; !first.Out() {
		t.Errorf("%+v is within", first)
	}
}

// NIST/SEMATECH 6.3.2.3.
func TestCUSUMOfTheNISTExample(t *testing.T) {
	got := stat.CUSUM(column(t, "nist_cusum.csv", "xbar"), 325, 0.3175, 4.1959)
	high, low, signal := column(t, "nist_cusum.csv", "S_hi"), column(t, "nist_cusum.csv", "S_lo"), column(t, "nist_cusum.csv", "signal")
	for i, s := range got {
		within(t, fmt.Sprint("high sum ", i+1), s.High, high[i], 1e-9)
		within(t, fmt.Sprint("low sum ", i+1), s.Low, low[i], 1e-9)
		if s.Out != (signal[i] == 1) {
			t.Errorf("group %d is out: %v", i+1, s.Out)
		}
	}
	if s := stat.CUSUM([]float64{320}, 325, 0.3175, 4.1959)[0]; !s.Out {
		t.Errorf("%+v is within", s)
	}
}

// NIST/SEMATECH 6.1.6: limits 8 and 20, mean 16, standard deviation 2.
func TestCapabilityOfTheNISTExample(t *testing.T) {
	c := stat.CapabilityOf(16, 2, 100, 8, 20, 0.95)
	within(t, "Cp", c.Cp, 1, 1e-12)
	within(t, "Cpu", c.Upper, 0.6667, 5e-5)
	within(t, "Cpl", c.Lower, 1.3333, 5e-5)
	within(t, "Cpk", c.Cpk, 0.6667, 5e-5)
	within(t, "k", c.Off, 0.3333, 5e-5)
	within(t, "Cpk from k", c.Cp*(1-c.Off), c.Cpk, 1e-12)
	if out := stat.CapabilityOf(21, 2, 100, 8, 20, 0.95); out.Cpk >= 0 {
		t.Errorf("a mean outside the window has Cpk %v", out.Cpk)
	}
}

func TestCapabilityIsThatOfR(t *testing.T) {
	ys, _ := samples(t)
	mean, sd := stat.MeanSD(ys["normal40"])
	for _, f := range figures(t, "cpk", 1) {
		c := stat.CapabilityOf(mean, sd, 40, f.numbers[0], f.numbers[1], 0.95)
		what := fmt.Sprint("Cpk in ", f.numbers[:2])
		near(t, what, c.Cpk, f.numbers[2], 1e-12)
		near(t, what+" low", c.CpkIn.Low, f.numbers[3], 1e-9)
		near(t, what+" high", c.CpkIn.High, f.numbers[4], 1e-9)
		if math.IsInf(f.numbers[1]-f.numbers[0], 1) {
			nan(t, "Cp and k of one side", c.Cp, c.CpIn.Low, c.CpIn.High, c.Off)
		}
	}
	for _, f := range figures(t, "cp", 1) {
		c := stat.CapabilityOf(mean, sd, 40, f.numbers[0], f.numbers[1], 0.95)
		near(t, "Cp", c.Cp, f.numbers[2], 1e-12)
		near(t, "Cp low", c.CpIn.Low, f.numbers[3], 1e-9)
		near(t, "Cp high", c.CpIn.High, f.numbers[4], 1e-9)
	}
}

func TestHolmIsThatOfR(t *testing.T) {
	for _, f := range figures(t, "holm", 0) {
		half := len(f.numbers) / 2
		for i, got := range stat.Holm(f.numbers[:half]) {
			near(t, fmt.Sprint("corrected ", f.numbers[i]), got, f.numbers[half+i], 1e-14)
		}
	}
	if got := stat.Holm(nil); len(got) != 0 {
		t.Errorf("of none: %v", got)
	}
}
