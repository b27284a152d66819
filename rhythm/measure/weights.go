package measure

import "clapladder.example/rhythm"

// appendPrimes appends the prime factors of n, smallest first.
func appendPrimes(dst []int, n int) []int {
	for p := 2; n > 1; p++ {
		for n%p == 0 {
			dst = append(dst, p)
			n /= p
		}
	}
	return dst
}

// appendSplits appends how a beat of n points is split: thirds before halves (6: 3, 2), otherwise
// by prime factors, smallest first. Thirds come first because a beat in six is written as three
// eighths or as a triplet, each divided in two.
func appendSplits(dst []int, n int) []int {
	if n%3 == 0 && powerOfTwo(n/3) {
		return appendPrimes(append(dst, 3), n/3)
	}
	return appendPrimes(dst, n)
}

func prime(n int) bool {
	for d := 2; d*d <= n; d++ {
		if n%d == 0 {
			return false
		}
	}
	return n > 1
}

func powerOfTwo(n int) bool { return n > 0 && n&(n-1) == 0 }

// depthIn is the level of point i in a span of n points split by the given subdivisions: 0 for the
// first point, otherwise the first level l (1 = top split) at which i is a multiple of
// n/(s_1...s_l). Longuet-Higgins & Lee (1984), with the sign changed.
func depthIn(i, n int, subdivisions []int) int8 {
	if i == 0 {
		return 0
	}
	for l, s := range subdivisions {
		n /= s
		if i%n == 0 {
			return int8(l + 1)
		}
	}
	return int8(len(subdivisions))
}

// maxDivision is the largest number of points in one beat: 16 boxes, or 24 where a beat of three
// units is cut in eighths.
const maxDivision = 24

// beatDepths[n][j] is the level of point j below its beat when the beat has n points.
var beatDepths = func() (table [maxDivision + 1][]int8) {
	for n := 1; n <= maxDivision; n++ {
		splits := appendSplits(nil, n)
		for j := range n {
			table[n] = append(table[n], depthIn(j, n, splits))
		}
	}
	return table
}()

// barTree is how a metre splits its bar into beats.
type barTree struct {
	meter  rhythm.Meter
	depths []int8 // level of each beat
	deep   int8   // deepest level of a beat
	splits []int  // subdivisions down to the beat; valid only if even
	even   bool   // beats and groups are equal
}

// set computes the tree of m in place; it does nothing when m is the tree's metre already.
func (t *barTree) set(m rhythm.Meter) {
	if t.meter == m && !m.IsZero() {
		return
	}
	beats := m.Beats()
	t.meter, t.depths, t.splits = m, t.depths[:0], t.splits[:0]
	t.even = m.Kind() != rhythm.Additive
	groups, size := 1, 0 // number of groups, their common size in beats
	if t.even {
		last := 0
		for i := 1; i <= beats; i++ {
			if i < beats && !m.StrongBeat(i) {
				continue
			}
			if size == 0 {
				size = i - last
			}
			t.even = t.even && size == i-last
			if i < beats {
				groups++
			}
			last = i
		}
	}
	if t.even {
		t.splits = appendPrimes(appendPrimes(t.splits, groups), size)
		for i := range beats {
			t.depths = append(t.depths, depthIn(i, beats, t.splits))
		}
	} else {
		for i := range beats {
			switch {
			case i == 0:
				t.depths = append(t.depths, 0)
			case m.Kind() == rhythm.Additive || m.StrongBeat(i):
				t.depths = append(t.depths, 1)
			default:
				t.depths = append(t.depths, 2)
			}
		}
	}
	t.deep = 0
	for _, depth := range t.depths {
		t.deep = max(t.deep, depth)
	}
}
