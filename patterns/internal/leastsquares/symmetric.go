package leastsquares

import (
	"math"
	"slices"
)

// symmetric is a small dense symmetric matrix, of which the lower triangle counts. It stands here,
// and is not taken from a library of linear algebra, because the library's whole code would be a
// third of the browser build, which keeps every method that a template could call by name.
type symmetric struct {
	size int
	at   []float64 // row by row
}

func newSymmetric(size int) symmetric { return symmetric{size, make([]float64, size*size)} }

func (m symmetric) place(i, j int) int { return max(i, j)*m.size + min(i, j) }

// At is the value at row i and column j, and at j and i.
func (m symmetric) At(i, j int) float64 { return m.at[m.place(i, j)] }

// add adds to the value at row i and column j.
func (m symmetric) add(i, j int, x float64) { m.at[m.place(i, j)] += x }

func (m symmetric) clone() symmetric {
	return symmetric{m.size, slices.Clone(m.at)}
}

// factorize replaces the lower triangle by that of L, where the matrix is L Lᵀ; false where it is
// not positive definite (Golub and Van Loan, Matrix Computations, section 4.2, from memory).
func (m symmetric) factorize() bool {
	for i := range m.size {
		row := m.at[i*m.size : (i+1)*m.size]
		for j := range i + 1 {
			other := m.at[j*m.size : (j+1)*m.size]
			sum := row[j]
			for k := range j {
				sum -= row[k] * other[k]
			}
			switch {
			case j < i:
				row[j] = sum / other[j]
			case sum > 0:
				row[i] = math.Sqrt(sum)
			default:
				return false
			}
		}
	}
	return true
}

// solve replaces x, a right side, by the solution; the matrix is factorized.
func (m symmetric) solve(x []float64) {
	for i := range x {
		for k, l := range m.at[i*m.size : i*m.size+i] {
			x[i] -= l * x[k]
		}
		x[i] /= m.at[i*m.size+i]
	}
	for i := len(x) - 1; i >= 0; i-- {
		x[i] /= m.at[i*m.size+i]
		for k, l := range m.at[i*m.size : i*m.size+i] {
			x[k] -= l * x[i]
		}
	}
}

// inverse is that of the matrix that was factorized.
func (m symmetric) inverse() symmetric {
	out := newSymmetric(m.size)
	for i := range m.size {
		row := out.at[i*m.size : (i+1)*m.size]
		row[i] = 1
		m.solve(row)
	}
	return out
}
