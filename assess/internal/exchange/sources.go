package exchange

import "math"

// The two sources of a round are compared by the means of their traits: those of the call's notes
// minus those of the answer's, NaN where one of them has none.
func differences(call, answer []traits) traits {
	var out traits
	for k := range traitCount {
		out[k] = meanTrait(call, k) - meanTrait(answer, k)
	}
	return out
}

// meanTrait is the mean of a trait over notes; NaN without any.
func meanTrait(notes []traits, k int) float64 {
	sum, n := 0.0, 0.0
	for _, x := range notes {
		if !math.IsNaN(x[k]) {
			sum, n = sum+x[k], n+1
		}
	}
	return sum / n
}

// sources is what rounds teach of how calls differ from answers: sums over rounds, trait by trait.
type sources struct{ n, sum, square traits }

func (s *sources) add(differs traits) { s.count(differs, 1) }

func (s *sources) count(differs traits, times float64) {
	for k, d := range differs {
		if !math.IsNaN(d) {
			s.n[k] += times
			s.sum[k] += times * d
			s.square[k] += times * d * d
		}
	}
}

// without is what the other rounds teach.
func (s *sources) without(differs traits) *sources {
	out := *s
	out.count(differs, -1)
	return &out
}

// of is the mean difference in a trait, drawn to none where rounds are few, and its spread between
// rounds.
func (s *sources) of(k int) (mean, sd float64) {
	n := s.n[k]
	mean = s.sum[k] / n
	least := leastSpread[k]
	rest := max(0, s.square[k]-n*mean*mean)
	sd = math.Sqrt((rest + spreadPrior*4*least*least) / (n + spreadPrior))
	return mean * n / (n + 1), max(sd, least)
}

// byTrait is the log odds, trait by trait, that a round's call and answer come from the sources
// that those of the other rounds come from: a normal law about their mean difference against one
// about its opposite, for without a lasting difference either sign is as likely.
func (s *sources) byTrait(differs traits) (odds traits) {
	for k, own := range differs {
		if s.n[k] < 0.5 || math.IsNaN(own) {
			continue
		}
		mean, sd := s.of(k)
		odds[k] = max(-oddsMost, min(oddsMost, 2*own*mean/(sd*sd)))
	}
	return odds
}

// odds is the sum over traits, and the sum without the level.
func (s *sources) odds(differs traits) (all, others float64) {
	for k, x := range s.byTrait(differs) {
		all += x
		if k != level {
			others += x
		}
	}
	return all, others
}
