package brew_test

import (
	"math"
	"math/big"
	"strings"
	"testing"

	"barline/brew"
)

func TestMassesInWords(t *testing.T) {
	for _, test := range []struct {
		mass    brew.Mass
		decimal string
		tenths  brew.Mass
	}{
		{0, "0", 0},
		{1, "0.001", 0},
		{49, "0.049", 0},
		{50, "0.05", 100},
		{500, "0.5", 500},
		{14000, "14", 14000},
		{14049, "14.049", 14000},
		{14050, "14.05", 14100},
		{210250, "210.25", 210300},
		{100_000, "100", 100_000},
		{-50, "-0.05", -100},
		{-49, "-0.049", 0},
		{-14050, "-14.05", -14100},
		{brew.Kilogram, "1000", brew.Kilogram},
		{math.MinInt64, "-9223372036854775.808", 0}, // too large to round
	} {
		same(t, test.decimal, []any{test.mass.Decimal(), test.mass.String()}, []any{test.decimal, test.decimal + " g"})
		if test.mass != math.MinInt64 {
			same(t, test.decimal+" to a tenth", test.mass.Tenths(), test.tenths)
		}
	}
	same(t, "grams", brew.Mass(210250).Grams(), 210.25)
	same(t, "degrees", []string{brew.Celsius(93).String(), brew.Celsius(93.25).String(), brew.Celsius(-0.5).String()}, []string{"93 °C", "93.3 °C", "-0.5 °C"})
}

func FuzzMassesReadBack(f *testing.F) {
	for _, seed := range []int64{0, 1, -1, 999, 1000, -14050, math.MaxInt64, math.MinInt64} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, n int64) {
		text := brew.Mass(n).Decimal()
		back, ok := new(big.Rat).SetString(text)
		if !ok || back.Cmp(big.NewRat(n, 1000)) != 0 {
			t.Fatalf("%d mg are %q", n, text)
		}
		if whole, part, found := strings.Cut(text, "."); found && (part == "" || strings.HasSuffix(part, "0")) || strings.HasPrefix(strings.TrimPrefix(whole, "-"), "0") && len(strings.TrimPrefix(whole, "-")) > 1 {
			t.Fatalf("%d mg are %q, which is not the shortest", n, text)
		}
		if m := brew.Mass(n); m < 1<<60 && m > -1<<60 {
			if off := m - m.Tenths(); m.Tenths()%100 != 0 || off > 49 && m > 0 || off < -50 && m > 0 || off > 50 || off < -50 || -m.Tenths() != (-m).Tenths() {
				t.Fatalf("%d mg are %d to a tenth", n, m.Tenths())
			}
		}
	})
}
