package main

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// newtonRounds of Newton's method are enough for weights that move by less than a thousandth.
const newtonRounds = 25

// newtonStep is the most that a weight of a standardised feature moves in one of them.
const newtonStep = 3.0

// logisticRidge is the weight of the penalty on the weights of standardised features, but for the
// first, which is 1 throughout: one part in a thousand of what a few hundred rows say.
const logisticRidge = 0.3

// logistic returns the weights of a logistic regression of y, 0 or 1, on the rows of features, whose
// first is 1 throughout. counts is how many rows each counts for.
func logistic(features [][]float64, y, counts []float64) ([]float64, error) {
	if len(features) == 0 {
		return nil, errors.New("there is nothing to fit to")
	}
	mean, sd := standards(features)
	mean[0], sd[0] = 0, 1
	n := len(mean)
	weights, z := make([]float64, n), make([]float64, n)
	for range newtonRounds {
		slope, curve := mat.NewVecDense(n, nil), mat.NewSymDense(n, nil)
		for j := 1; j < n; j++ {
			slope.SetVec(j, -logisticRidge*weights[j])
			curve.SetSym(j, j, logisticRidge)
		}
		for i, row := range features {
			for j, x := range row {
				z[j] = (x - mean[j]) / sd[j]
			}
			p := 1 / (1 + math.Exp(-weigh(weights, z)))
			bend := max(p*(1-p), 1e-9)
			for j := range n {
				slope.SetVec(j, slope.AtVec(j)+counts[i]*z[j]*(y[i]-p))
				for k := j; k < n; k++ {
					curve.SetSym(j, k, curve.At(j, k)+counts[i]*z[j]*z[k]*bend)
				}
			}
		}
		var factors mat.Cholesky
		var step mat.VecDense
		if !factors.Factorize(curve) || factors.SolveVecTo(&step, slope) != nil {
			return nil, errors.New("the features can't be told apart")
		}
		for j := range weights {
			weights[j] += min(max(step.AtVec(j), -newtonStep), newtonStep)
		}
	}
	for j := 1; j < n; j++ {
		weights[j] /= sd[j]
		weights[0] -= weights[j] * mean[j]
	}
	return weights, nil
}

// standards are the means of features and their standard deviations, which are never 0.
func standards(features [][]float64) (mean, sd []float64) {
	n, rows := len(features[0]), float64(len(features))
	mean, sd = make([]float64, n), make([]float64, n)
	for _, row := range features {
		for j, x := range row {
			mean[j] += x / rows
		}
	}
	for _, row := range features {
		for j, x := range row {
			sd[j] += (x - mean[j]) * (x - mean[j]) / rows
		}
	}
	for j := range sd {
		sd[j] = math.Sqrt(sd[j]) + 1e-9
	}
	return mean, sd
}
