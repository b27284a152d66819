package rounds

// soloAnswer is what it costs that the answer sounds like the leader: then it is the next call, or practising. As long as the leader's
// sound is not known, an answer is compared with its own call: one pupil's claps are as sharp as the leader's, but not
// as loud or of the same colour.
func (f *finder) soloAnswer(p proposal, a Answer) float64 {
	cost, sharp := 0.0, 0
	for _, s := range p.phrase.Strokes() {
		k := f.nearest.index(a.Map.At(float64(s.Step)), 0.04)
		if k < 0 {
			continue
		}
		if f.leader.sharp[k] > sharpOdds && (!f.leader.known || f.leader.odds[k] > othersOdds) {
			sharp++
		}
		odds := f.leader.odds[k]
		if !f.leader.known {
			odds = min(odds, f.sameSource(p.matched, k))
		}
		cost += soloCosts * max(-0.3, min(odds, 2))
	}
	cost = max(0, cost)
	if float64(sharp) > sharpShare*float64(len(p.phrase.Strokes())) {
		cost += oneCosts
	}
	return cost
}

const (
	soloCosts  = 1.9 // for each note
	oneCosts   = 3.0 // an answer of one person is rarer than a count-in before a call
	sharpOdds  = 1.5
	othersOdds = -1.0 // below it an attack is known to be another's
	sharpShare = 0.6
)

// sameSource is the log odds that attack k comes from the source of the given attacks.
func (f *finder) sameSource(own []int, k int) float64 {
	var level, colour, thump, n float64
	for _, i := range own {
		if i >= 0 {
			level, colour, thump, n = level+f.leader.level[i], colour+f.attacks[i].Colour, thump+f.attacks[i].Thump, n+1
		}
	}
	if n == 0 {
		return 0
	}
	a, b, c := (f.leader.level[k]-level/n)/2.5, (f.attacks[k].Colour-colour/n)/0.1, (f.attacks[k].Thump-thump/n)/3
	return 2 - (a*a+b*b+c*c)/2
}
