package measure

import "slices"

// barlow scores how far a rhythm stays from the pulses that are most indispensable to its metre,
// with the weights of indispensabilities: (sum of the k largest - sum at the k onsets) / (k *
// (n-1)) for k onsets in bars of n pulses. The weights are published (Barlow 1987), the score is
// our own: the form of toussaintMetrical, over all bars, brought to a common scale.
//
// It is the same for a cycle and a phrase with an end. Undefined for unequal beats (errUneven) and
// mixed divisions (errMixed). Range: 0 (onsets on the most indispensable pulses) to 1.
func barlow(p *Pattern) (float64, error) {
	switch err := p.pulsed(); {
	case err != nil:
		return 0, err
	case len(p.splits) == 0:
		return 0, errUneven
	case !weighable(p.splits):
		return 0, errNotPrime
	}
	p.work.values = indispensabilities(p.work.values[:0], p.splits)
	weights, sum := p.work.values, 0
	bars := len(p.sounded) / p.bar
	for k, o := range p.onsets {
		// Each weight occurs once a bar, so the k-th largest of the phrase is n-1 - k/bars.
		sum += p.bar - 1 - k/bars - weights[o%p.bar]
	}
	return float64(sum) / float64(len(p.onsets)*(p.bar-1)), nil
}

// weighable reports whether all subdivisions have basic weights.
func weighable(subdivisions []int) bool {
	for _, s := range subdivisions {
		if s < 0 || s >= len(basicWeights) || basicWeights[s] == nil {
			return false
		}
	}
	return true
}

// indispensabilities appends the weights to dst: psi(n) is the sum over r from 0 to z-1 of p_0 ...
// p_(z-r-1) * psi_(p_(z-r))(1 + floor(1 + ((n-2) mod N) / (p_(z+1) ... p_(z+1-r))) mod p_(z-r)), n
// from 1, p_0 = p_(z+1) = 1.
func indispensabilities(dst []int, p []int) []int {
	z, total := len(p), 1
	for _, s := range p {
		total *= s
	}
	for n := 1; n <= total; n++ {
		sum := 0
		below := 1 // product of the subdivisions under the current one
		above := total
		for r := range z {
			s := p[z-1-r]
			above /= s
			sum += above * basicWeights[s][(1+(n-2+total)%total/below)%s]
			below *= s
		}
		dst = append(dst, sum)
	}
	return dst
}

// basicWeights holds the weights of the primes up to 31, more than the beats of any bar.
var basicWeights = func() [32][]int {
	var table [32][]int
	for p := range table {
		if prime(p) {
			table[p] = primeWeights(p)
		}
	}
	return table
}()

func primeWeights(prime int) []int {
	switch prime {
	case 2:
		return []int{1, 0}
	case 3:
		return []int{2, 0, 1}
	}
	// barlow stratifies the prime less one from its largest factor down.
	factors := appendPrimes(nil, prime-1)
	slices.Reverse(factors)
	n, weights := prime-1, []int(nil)
	for i := 1; i <= n; i++ {
		sum, below, above := 0, 1, n
		for r := range factors {
			s := factors[len(factors)-1-r]
			above /= s
			sum += above * primeWeights(s)[(1+(i-2+n)%n/below)%s]
			below *= s
		}
		weights = append(weights, sum)
	}
	for i := range weights {
		if weights[i] >= prime/4 {
			weights[i]++
		}
	}
	return slices.Insert(weights, prime-2, prime/4)
}
