package plan

import (
	"fmt"
	"slices"
)

// exit is a way out of a cell of the last diagonal, with the groups that take it.
type exit struct {
	row, column int
	got         bool
	groups      *crowd
}

// ends makes an end of every exit. Two exits that lead to the same place, from the left and from
// above, share one where the tier is the same: otherwise who lost the harder call and who got the
// easier one are told apart.
func (b *cardBuilder) ends(exits []exit) {
	for lost := b.depth; lost >= 0; lost-- { // the lowest place first
		var here []exit
		for _, x := range exits {
			if x.got && x.row == lost || !x.got && x.row+1 == lost {
				here = append(here, x)
			}
		}
		ends := make([]CardEnd, len(here))
		for i, x := range here {
			ends[i] = b.end(b.depth-lost, x.groups)
		}
		if len(here) == 2 && ends[0].Tier == ends[1].Tier {
			here[0].groups.add(here[1].groups)
			ends = []CardEnd{b.end(b.depth-lost, here[0].groups)}
		}
		if len(ends) == 2 && ends[1].Tier < ends[0].Tier {
			slices.Reverse(ends)
			slices.Reverse(here)
		}
		for i, x := range here {
			if i < len(ends) {
				ends[i].Place = fmt.Sprintf("end %d", len(b.card.Ends)+1)
				b.card.Ends = append(b.card.Ends, ends[i])
			}
			cell := &b.card.Branch[b.index(x.row, x.column)]
			name := b.card.Ends[len(b.card.Ends)-1].Place
			if x.got {
				cell.Got = name
			} else {
				cell.Lost = name
			}
		}
	}
	b.share()
}

// share gives tiers that are the likeliest at no end to the neighbouring end at which more of their
// groups come out, so that the card can come out at every tier.
func (b *cardBuilder) share() {
	ends := b.card.Ends
	for i := range ends {
		ends[i].From, ends[i].To = ends[i].Tier, ends[i].Tier
	}
	for i := range ends {
		if i == len(ends)-1 {
			ends[i].To = b.highest
			break
		}
		low, high := &ends[i], &ends[i+1]
		for tier := low.Tier + 1; tier < high.Tier; tier++ {
			if low.To == tier-1 && low.ReachedBy*low.Chances[tier] >= high.ReachedBy*high.Chances[tier] {
				low.To = tier
			}
		}
		if high.Tier > low.Tier {
			high.From = low.To + 1
		}
	}
}

// outside is the chance, on either side, that the true tier lies beyond the
// stated range.
const outside = 0.05

func (b *cardBuilder) end(got int, groups *crowd) CardEnd {
	chances := groups.tierChances(b.curves, b.highest, b.Comfort)
	end := CardEnd{Got: got, Chances: chances, ReachedBy: groups.mass()}
	below := 0.0
	for tier, chance := range chances {
		if chance > chances[end.Tier] {
			end.Tier = tier
		}
		if below <= outside {
			end.Low = tier
		}
		if below < 1-outside {
			end.High = tier
		}
		below += chance
	}
	end.Chance = chances[end.Tier]
	return end
}
