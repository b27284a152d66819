package onset

import "math"

// scan looks for attacks while sound comes in. Of what is searched it keeps the power of two bands;
// the others are dropped, but for what keep asks for.
type scan struct {
	recent bands // frames from first on
	first  int   // a multiple of floorBlock
	keep   int   // frame from which recent is kept whatever is searched

	searched   int // frames
	candidates []attackCandidate
	lows       []lowCandidate
	floors     [bandCount]growingFloor
	power      [bandCount]float64 // summed over the frames searched
}

const (
	searchFrames  = 1 << 13                       // searched at a time: 16 s
	searchContext = 64                            // frames before and after that describe an attack
	searchAfter   = (floorReach + 2) * floorBlock // frames after, which the background takes
)

// newScan keeps frames from one on.
func newScan(keep int) *scan { return &scan{keep: keep} }

// dropAll is for a scan that keeps no more than it needs.
const dropAll = math.MaxInt

// frames is how many frames came in.
func (s *scan) frames() int { return s.first + s.recent.frames() }

// advance searches what can be searched by now. It is to be called after every few frames.
func (s *scan) advance() {
	for s.frames()-s.searched >= searchFrames+searchAfter {
		s.search(s.searched+searchFrames, false)
		s.drop()
	}
}

// finish searches the rest: nothing comes any more.
func (s *scan) finish() { s.search(s.frames(), true) }

// search goes on up to a frame.
func (s *scan) search(until int, whole bool) {
	from, to := s.searched-s.first, until-s.first
	d := detector{e: &s.recent, first: s.first}
	for b, band := range s.recent.band {
		s.floors[b].take(band, s.first, whole)
		d.floors[b] = s.floors[b].from(s.first)
		for _, x := range band[from:to] {
			s.power[b] += float64(x)
		}
	}
	s.candidates = d.sharpest(s.candidates, from, to)
	s.lows = d.lowCandidates(s.lows, from, to)
	s.searched = until
}

// drop lets go of frames that are not needed any more.
func (s *scan) drop() {
	n := (min(s.keep, s.searched-searchContext) - s.first) / floorBlock * floorBlock
	if n < searchFrames/2 {
		return
	}
	cut := func(curve []float32) []float32 { return curve[:copy(curve, curve[n:])] }
	for b := range s.recent.band {
		s.recent.band[b] = cut(s.recent.band[b])
	}
	s.recent.clap = cut(s.recent.clap)
	s.first += n
}

// analysis is what was found, of a finished scan with the whole envelope.
func (s *scan) analysis(e *Envelope) Analysis {
	d := detector{e: &bands{clap: e.Clap}}
	d.e.band[lowBand] = e.Low
	for b := range d.floors {
		d.floors[b] = s.floors[b].from(0)
	}
	attacks := d.attacks(s.candidates, s.lows, usedBy(s.power))
	return Analysis{Envelope: e, Attacks: attacks, Kernel: d.roomKernel(attacks), floors: d.floors}
}
