package pulse

// Every number that was set by trying stands here. They were set on made-up warm-ups with a foot, a
// drum, sticks or a shaker that keeps the beat, and on those without one; what a change does is
// printed by
//
//	SPLIT=tuning go test -run '^$' -bench Quality -benchtime 1x ./assess

// A source.
const (
	alike      = 1.5  // units that its strokes may lie off their middle in anything
	refits     = 3    // times that the middle is taken again
	mostSeeds  = 300  // attacks that are tried as one of its strokes
	standsOut  = 6.0  // dB over what was before, of such an attack
	single     = 0.07 // concentration of its strokes: a group's have less
	leastTrain = 8    // strokes
	strange    = 0.5  // of them that are no notes
	inRounds   = 0.35 // of the rounds have such a stroke
	onNote     = 0.06 // seconds around a note
)

// A kept beat.
const (
	offBeat       = 0.09 // of a beat of the calls that a stroke may lie off
	shortestBeat  = 0.3  // seconds
	longestBeat   = 1.6
	offOwn        = 0.02 // seconds that a stroke may lie off its own beat, and
	offOwnShare   = 0.03 // of that beat
	hiddenReach   = 0.05 // seconds around a place where a louder stroke hides one
	hiddenMost    = 2    // places in a row that are hidden
	ownReach      = 6    // beats on either side that are looked at
	ownLeast      = 2    // strokes there that make a beat
	ownApart      = 0.1  // seconds: closer strokes are one
	evidenceLeast = 1.25 // share of its strokes that sound alike, and of those that keep the beat
)
