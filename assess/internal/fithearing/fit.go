package main

import (
	"errors"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// ridge is the weight of the penalty on standardised features: enough to keep weights of features
// that say nearly the same from running away.
const ridge = 3.0

// leastSquares returns the weights that predict y from the rows of features with the least squared
// error. Where the first feature is 1 throughout it is not penalised.
func leastSquares(features [][]float64, y []float64) ([]float64, error) {
	if len(features) == 0 {
		return nil, errors.New("there is nothing to fit to")
	}
	mean, sd := standards(features)
	n := len(mean)
	constant := !slices.ContainsFunc(features, func(row []float64) bool { return row[0] != 1 })
	if constant {
		mean[0], sd[0] = 0, 1
	} else {
		clear(mean) // there is nothing to take means out with
	}
	normal, right := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	z := make([]float64, n)
	for i, row := range features {
		for j, x := range row {
			z[j] = (x - mean[j]) / sd[j]
		}
		for j := range n {
			right.SetVec(j, right.AtVec(j)+z[j]*y[i])
			for k := j; k < n; k++ {
				normal.SetSym(j, k, normal.At(j, k)+z[j]*z[k])
			}
		}
	}
	for j := range n {
		if !constant || j > 0 {
			normal.SetSym(j, j, normal.At(j, j)+ridge)
		}
	}
	var factors mat.Cholesky
	if !factors.Factorize(normal) {
		return nil, fmt.Errorf("the %d features of %d rows can't be told apart", n, len(features))
	}
	var solved mat.VecDense
	if err := factors.SolveVecTo(&solved, right); err != nil {
		return nil, err
	}
	weights := make([]float64, n)
	for j := range weights {
		weights[j] = solved.AtVec(j) / sd[j]
	}
	for j := 1; constant && j < n; j++ {
		weights[0] -= weights[j] * mean[j]
	}
	return weights, nil
}

func weigh(weights, features []float64) float64 {
	sum := 0.0
	for i, w := range weights {
		sum += w * features[i]
	}
	return sum
}

func clamp01(x float64) float64 { return min(max(x, 0), 1) }
