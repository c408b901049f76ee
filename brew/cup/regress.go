package cup

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Regression is an ordinary least squares fit of y on columns x, with an
// intercept: y = Slope[0]·x₀ + Slope[1]·x₁ + … + Intercept.
type Regression struct {
	N           int
	Freedom     int // N less the intercept and the slopes
	Intercept   float64
	InterceptSE float64 // standard errors
	Slopes      []float64
	SlopeSEs    []float64
	Residual    float64   // standard deviation of what is left, by Freedom
	Squares     float64   // sum of the squares of what is left
	R2          float64   // share of y's squares explained; 0 where y never changes
	Cook        []float64 // Cook's distance of each row (Cook 1977, Technometrics 19:15), Boundless at the most
}

// Collinear is the error of columns that say the same as each other, so that
// none can be told the effect of.
type Collinear struct {
	Inflation []float64 // of each column's variance: 1/(1 - R²) against the others
}

// Error says so.
func (*Collinear) Error() string { return "columns that move together cannot be told apart" }

// Boundless is the Cook's distance of a row that the fit passes through
// whatever it says, such as the only one in which a column is not zero.
const Boundless = 1e6

// MostInflation is the variance inflation from which columns are refused: at
// 10 a standard error is more than three times what it would be alone
// (Marquardt 1970, Technometrics 12:591, from memory).
const MostInflation = 10.0

// Regress fits y on the columns by Householder QR. The error is a *Slip where
// the columns are of other lengths than y, a figure is not a number or there
// are no more rows than unknowns, and a *Collinear where a column's variance
// inflation is 10 or more; a column that never changes counts as such.
func Regress(y []float64, columns ...[]float64) (Regression, error) {
	n, k := len(y), len(columns)
	for _, c := range columns {
		if len(c) != n {
			return Regression{}, slip(OutOfRange, "", "", "a column of %d beside %d figures", len(c), n)
		}
	}
	if !finite(append(columns[:k:k], y)...) {
		return Regression{}, slip(NoNumber, "", "leave the row out", "a figure is not a number")
	}
	if n <= k+1 {
		return Regression{}, slip(TooFew, "", "", "%d rows cannot tell %d effects", n, k)
	}
	if inflation := Inflation(columns...); exceeds(inflation, MostInflation) {
		return Regression{}, &Collinear{inflation}
	}
	design := mat.NewDense(n, k+1, nil)
	for i := range n {
		design.Set(i, 0, 1)
		for j, c := range columns {
			design.Set(i, j+1, c[i])
		}
	}
	var qr mat.QR
	qr.Factorize(design)
	var beta mat.VecDense
	if err := qr.SolveVecTo(&beta, false, mat.NewVecDense(n, slices.Clone(y))); err != nil {
		return Regression{}, fmt.Errorf("columns of too unlike sizes: %w", err)
	}
	return fitted(y, design, &qr, &beta), nil
}

// fitted works out what is left and how well all is known.
func fitted(y []float64, design *mat.Dense, qr *mat.QR, beta *mat.VecDense) Regression {
	n, p := design.Dims()
	left := make([]float64, n)
	r := Regression{N: n, Freedom: n - p, Intercept: beta.AtVec(0)}
	for i := range n {
		left[i] = y[i] - mat.Dot(design.RowView(i), beta)
		r.Squares += left[i] * left[i]
	}
	if _, size := centred(y); size > 0 {
		r.R2 = 1 - r.Squares/(size*size)
	}
	r.Residual = math.Sqrt(r.Squares / float64(r.Freedom))
	inverse := inverseOf(qr, p)
	for j := range p {
		se := r.Residual * mat.Norm(inverse.RowView(j), 2)
		if j == 0 {
			r.InterceptSE = se
			continue
		}
		r.Slopes, r.SlopeSEs = append(r.Slopes, beta.AtVec(j)), append(r.SlopeSEs, se)
	}
	r.Cook = cook(design, inverse, left, r.Residual)
	return r
}

// inverseOf returns the inverse of the upper triangle R: the rows' norms are
// the roots of the diagonal of (XᵀX)⁻¹.
func inverseOf(qr *mat.QR, p int) *mat.Dense {
	var upper mat.Dense
	qr.RTo(&upper)
	square := mat.NewTriDense(p, mat.Upper, nil)
	for i := range p {
		for j := i; j < p; j++ {
			square.SetTri(i, j, upper.At(i, j))
		}
	}
	var out mat.TriDense
	_ = out.InverseTri(square) // an error tells of poor scaling: see Regress
	return mat.DenseCopyOf(&out)
}

// cook returns the distances: how far all fitted values move together when a
// row is left out, in units of their own uncertainty.
func cook(design, inverse *mat.Dense, left []float64, residual float64) []float64 {
	n, p := design.Dims()
	var q mat.Dense
	q.Mul(design, inverse) // X·R⁻¹ = Q
	out := make([]float64, n)
	for i := range out {
		leverage := math.Pow(mat.Norm(q.RowView(i), 2), 2)
		switch free := 1 - leverage; {
		case free < 1e-9:
			out[i] = Boundless
		case residual > 0:
			out[i] = min(Boundless, left[i]*left[i]/(float64(p)*residual*residual)*leverage/(free*free))
		}
	}
	return out
}

// Inflation returns the variance inflation of each column against the others,
// by the singular values of the columns about their means. A column that never
// changes, and columns that follow from each other, are inflated without bound.
func Inflation(columns ...[]float64) []float64 {
	k := len(columns)
	if k == 0 {
		return nil
	}
	unit := mat.NewDense(len(columns[0]), k, nil)
	out := make([]float64, k)
	for j, c := range columns {
		about, size := centred(c)
		if size == 0 {
			out[j] = math.Inf(1)
			continue
		}
		for i := range about {
			unit.Set(i, j, about[i]/size)
		}
	}
	var svd mat.SVD
	if !svd.Factorize(unit, mat.SVDThin) { // never seen of finite figures
		return slices.Repeat([]float64{math.Inf(1)}, k)
	}
	var v mat.Dense
	svd.VTo(&v)
	for s, value := range svd.Values(nil) {
		for j := range out {
			if part := v.At(j, s); math.Abs(part) > 1e-9 {
				out[j] += part * part / math.Pow(max(value, 1e-12), 2)
			}
		}
	}
	return out
}

// centred returns a column about its mean, and the root of its squares.
func centred(c []float64) (about []float64, size float64) {
	mean := 0.0
	for _, x := range c {
		mean += x / float64(len(c))
	}
	about = make([]float64, len(c))
	for i, x := range c {
		about[i] = x - mean
		size = math.Hypot(size, about[i])
	}
	if size <= 1e-12*math.Abs(mean)*math.Sqrt(float64(len(c))) { // what rounding left of the mean
		size = 0
	}
	return about, size
}

func finite(columns ...[]float64) bool {
	for _, c := range columns {
		for _, x := range c {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				return false
			}
		}
	}
	return true
}

func exceeds(xs []float64, most float64) bool {
	for _, x := range xs {
		if !(x < most) {
			return true
		}
	}
	return false
}

// Interval returns what a slope lies between in the given share of cases, by
// Student's t: 0.95 for 95 in 100.
func (r Regression) Interval(slope int, level float64) Range {
	half := student(level, float64(r.Freedom)) * r.SlopeSEs[slope]
	return Range{r.Slopes[slope] - half, r.Slopes[slope] + half}
}
