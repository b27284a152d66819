package fit

import (
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
	"gonum.org/v1/gonum/stat"
)

func dot(a, b difficulty.Features) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

func subtract(a, b difficulty.Features) difficulty.Features {
	for i := range a {
		a[i] -= b[i]
	}
	return a
}

func scale(a difficulty.Features, by float64) difficulty.Features {
	for i := range a {
		a[i] *= by
	}
	return a
}

func meanFeatures(items []Item) difficulty.Features {
	var sum difficulty.Features
	for _, item := range items {
		for i, v := range item.Features {
			sum[i] += v
		}
	}
	return scale(sum, 1/float64(len(items)))
}

func plainFeatures() difficulty.Features {
	return difficulty.FeaturesOf(rhythm.MustParse("x x x x", "4/4", rhythm.DefaultTempo))
}

func line(x, y []float64) (intercept, slope float64) {
	return stat.LinearRegression(x, y, nil, false)
}

func (d *Data) condition(name string) []Item {
	var items []Item
	for _, item := range d.Metric {
		if item.Group == name {
			items = append(items, item)
		}
	}
	return items
}
