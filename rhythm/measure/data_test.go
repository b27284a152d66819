package measure_test

import (
	"encoding/csv"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"clapladder.example/rhythm/measure"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

// row is one line of a table in testdata by column name.
type row map[string]string

func readTable(t testing.TB, name string) []row {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(lines), 1)
	var rows []row
	for _, line := range lines[1:] {
		cells := row{}
		for i, cell := range line {
			cells[lines[0][i]] = cell
		}
		rows = append(rows, cells)
	}
	return rows
}

// number reads a cell such as 3, 2.45 or 18/5.
func (r row) number(t testing.TB, column string) float64 {
	t.Helper()
	cell, ok := r[column]
	require.True(t, ok, "no column %s in %v", column, slices.Sorted(maps.Keys(r)))
	above, below, fraction := strings.Cut(cell, "/")
	value, err := strconv.ParseFloat(above, 64)
	require.NoError(t, err)
	if fraction {
		divisor, err := strconv.ParseFloat(below, 64)
		require.NoError(t, err)
		value /= divisor
	}
	return value
}

// cycle reads a pattern as a cycle.
func cycle(t testing.TB, boxes string, beat int, subdivisions ...int) *measure.Pattern {
	t.Helper()
	p, err := measure.ParsePattern(boxes, beat, subdivisions...)
	require.NoError(t, err)
	p.Cyclic = true
	return p
}

// sixteen reads 16 pulses of 4/4 as a cycle.
func sixteen(t testing.TB, boxes string) *measure.Pattern { return cycle(t, boxes, 4, 2, 2, 2, 2) }

func value(t testing.TB, f func(*measure.Pattern) (float64, error), p *measure.Pattern) float64 {
	t.Helper()
	v, err := f(p)
	require.NoError(t, err)
	return v
}

// sure adapts a measure that is defined everywhere.
func sure(f func(*measure.Pattern) float64) func(*measure.Pattern) (float64, error) {
	return func(p *measure.Pattern) (float64, error) { return f(p), nil }
}

// ranks gives equal values the mean of their ranks. Values that differ only by rounding are equal.
func ranks(values []float64) []float64 {
	values = slices.Clone(values)
	for i, v := range values {
		values[i] = math.Round(v*1e9) / 1e9
	}
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		switch {
		case values[a] < values[b]:
			return -1
		case values[a] > values[b]:
			return 1
		}
		return 0
	})
	out := make([]float64, len(values))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && values[order[j]] == values[order[i]] {
			j++
		}
		for k := i; k < j; k++ {
			out[order[k]] = float64(i+j-1) / 2
		}
		i = j
	}
	return out
}

func spearman(x, y []float64) float64 { return stat.Correlation(ranks(x), ranks(y), nil) }

func TestSpearmanAgreesWithKnownExamples(t *testing.T) {
	// SciPy's documentation of spearmanr, from memory.
	require.InDelta(t, 0.820783, spearman([]float64{1, 2, 3, 4, 5}, []float64{5, 6, 7, 8, 7}), 1e-6)
	// Wikipedia, "Spearman's rank correlation coefficient", example of hours before a screen, from memory.
	require.InDelta(t, -29.0/165, spearman(
		[]float64{106, 100, 86, 101, 99, 103, 97, 113, 112, 110},
		[]float64{7, 27, 2, 50, 28, 29, 20, 12, 6, 17}), 1e-9)
}

// areaUnder is the chance that a value of high exceeds one of low, ties counting half.
func areaUnder(low, high []float64) float64 {
	sum := 0.0
	for _, a := range low {
		for _, b := range high {
			switch {
			case b > a:
				sum++
			case b == a:
				sum += 0.5
			}
		}
	}
	return sum / float64(len(low)*len(high))
}
