package measure

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
func cycle(t testing.TB, boxes string, beat int, subdivisions ...int) *Pattern {
	t.Helper()
	p, err := ParsePattern(boxes, beat, subdivisions...)
	require.NoError(t, err)
	p.Cyclic = true
	return p
}

// sixteen reads 16 pulses of 4/4 as a cycle.
func sixteen(t testing.TB, boxes string) *Pattern { return cycle(t, boxes, 4, 2, 2, 2, 2) }

func value(t testing.TB, f func(*Pattern) (float64, error), p *Pattern) float64 {
	t.Helper()
	v, err := f(p)
	require.NoError(t, err)
	return v
}

// sure adapts a measure that is defined everywhere.
func sure(f func(*Pattern) float64) func(*Pattern) (float64, error) {
	return func(p *Pattern) (float64, error) { return f(p), nil }
}

// spearman compares measured values with judgements. Values that differ only by rounding are equal.
func spearman(values, judged []float64) float64 {
	values = slices.Clone(values)
	for i, v := range values {
		values[i] = math.Round(v*1e9) / 1e9
	}
	return stat.Correlation(ranks(values), ranks(judged), nil)
}

// ranks gives each value its place in the order, from 1; equal values share the mean of their
// places.
func ranks(values []float64) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		less, equal := 0, 0
		for _, w := range values {
			if w < v {
				less++
			} else if w == v {
				equal++
			}
		}
		out[i] = float64(less) + float64(equal+1)/2
	}
	return out
}
