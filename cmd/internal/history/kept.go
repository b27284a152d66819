package history

import (
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"hash/fnv"
	"math"
	"sync"

	"clapladder.example/assess/ability"
)

// Kept is a level as [NewTrend] takes it, kept beside the rounds it was estimated from so that a
// long log is not estimated again at every look.
type Kept struct {
	// a sum of everything the estimate depends on; where it differs now, the level is estimated
	// again
	Basis string  `json:"basis"`
	Level float64 `json:"level"` // tier scale
	SD    float64 `json:"sd"`
	Low   float64 `json:"low"` // 90 % interval
	High  float64 `json:"high"`
}

func (k *Kept) problem() string {
	if k == nil {
		return ""
	}
	for _, x := range []float64{k.Level, k.Low, k.High} {
		if !(math.Abs(x) <= maxScale) {
			return fmt.Sprintf("the kept level holds %g, which is not on the tier scale", x)
		}
	}
	if !(k.SD > 0 && k.SD <= maxScale) || len(k.Basis) > maxText {
		return "the kept level has no error that can be used"
	}
	return ""
}

// Keep keeps the level of a warm-up in it, so that a trend shows what the report said: that of the
// report, or where the report began from the log, which would count earlier warm-ups twice, one
// that is estimated from its rounds alone. A warm-up with too few rounds is left as it is.
func (s *Scale) Keep(r *Record) error {
	observations := s.observations(*r)
	if e := r.Estimate; e != nil && e.Interval != nil && !r.Known && len(observations) >= ability.MinRounds {
		sd := math.Hypot(e.AbilitySD, luckOf(e.AbilitySpread, r.People))
		r.Kept = &Kept{
			Basis: s.basis(*r, observations), Level: e.Ability, SD: sd,
			Low: e.Interval[0], High: e.Interval[1],
		}
		return nil
	}
	p, ok, err := s.estimate(*r, observations)
	if err != nil || !ok {
		return err
	}
	r.Kept = &Kept{Basis: s.basis(*r, observations), Level: p.Level, SD: p.SD, Low: p.Low, High: p.High}
	return nil
}

// luckOf is the standard deviation of a room's level about that of the wider group, for the luck of
// who turned up.
func luckOf(spread float64, people int) float64 {
	if people == 0 {
		return spread / math.Sqrt(quickPeople)
	}
	return spread / math.Sqrt(float64(people))
}

// kept is the point that a record holds, if it still stands.
func (s *Scale) kept(r Record, observations []ability.Observation) (Point, bool) {
	if r.Kept == nil || r.Kept.Basis != s.basis(r, observations) {
		return Point{}, false
	}
	k := r.Kept
	return Point{
		Date: r.Date, Level: k.Level, SD: k.SD, Low: k.Low, High: k.High,
		Rounds: len(observations),
	}, true
}

// basis sums up what the estimate of a record depends on. Difficulties count to a thousandth of a
// tier.
func (s *Scale) basis(r Record, observations []ability.Observation) string {
	h := fnv.New64a()
	var buffer [8]byte
	put := func(values ...float64) {
		for _, x := range values {
			binary.LittleEndian.PutUint64(buffer[:], uint64(int64(math.Round(x*1000))))
			h.Write(buffer[:])
		}
	}
	put(s.prior.Level, float64(r.People), estimator())
	for _, o := range observations {
		put(o.Difficulty, o.DifficultySD, o.Share, o.ShareSD, o.Doubt, float64(o.Attempt), float64(o.Verdict))
		if o.Reading != nil {
			put(o.Reading.Mean[:]...)
			put(o.Reading.Variance[:]...)
		}
		h.Write([]byte(o.Item))
	}
	return hex.EncodeToString(h.Sum(nil))
}

// estimator stands for the estimator of package ability as it is built in: the level of a warm-up
// made up for the purpose, which moves whenever its figures do.
var estimator = sync.OnceValue(func() float64 {
	var observations []ability.Observation
	for i, share := range []float64{0.95, 0.8, 0.6, 0.35, 0.1} {
		observations = append(observations, ability.Observation{
			Difficulty:   1 + float64(i),
			DifficultySD: 0.5, Share: share, ShareSD: 0.12, People: 20,
		})
	}
	result, err := ability.Estimate(ability.Settings{
		Tiers: 20,
		Prior: ability.PriorForTiers(tiersWithoutBank),
	}, observations)
	if err != nil {
		return 0
	}
	level, sd := result.Posterior().Level()
	return 1000*level + sd
})
