package measure

// smithHoning is the variant of longuetHigginsLee by Smith & Honing (2006), International Computer
// Music Conference: every pair counts its strength plus 1, so that a rest as strong as its note
// counts 1 and not nothing. It is the weighted value plus the number of pairs. Cycle and end as
// there. Range: 0 up.
func smithHoning(p *Pattern) float64 {
	pairs, sum := p.syncopations(p.depth)
	return float64(pairs + sum)
}
