package transcribe

import "clapladder.example/rhythm"

// Every number that was set by trying stands here. They were set on the tuning half of made-up
// warm-ups, and what a change does is printed by
//
//	SPLIT=tuning go test -run '^$' -bench Quality -benchtime 1x ./assess
//
// Costs are natural logarithms of odds; SD stands for standard deviation.

// What is usual in a call, whichever way it is read.
const (
	TempoSD        = 0.14 // natural log, around the phrase's own tempo
	TempoMost      = 5.0  // most that a tempo costs
	Slowest        = 0.58 // of the phrase's own tempo
	Fastest        = 1.7  // of it
	SilentStart    = 1.5  // a phrase that begins with a rest is a rarer reading of the same claps
	PlainPreferred = 1.0  // a phrase with stamps, pats or snaps, where the strokes do not sound so
)

// A phrase with fewer strokes is close to anything.
const closeLeast = 3

// How well bare onsets must fit a phrase.
const (
	identifySD    = 0.02 // seconds
	identifyShare = 0.22 // of the shortest interval: an onset further off is another rhythm
	identifyBar   = 1.5  // a distance to the answer that is not the phrase's length
)

// Bare onsets written down.
const (
	onsetSD        = 0.018 // seconds, of a leader's stroke around its place
	usualBeatLogSD = 0.28
	beatApart      = 0.005 // seconds between lengths of a beat that are tried
	barSD          = 0.12  // beats, of the distance to the answer from whole bars
	barMismatch    = 1.5   // most that costs: a rhythm is not changed to fill bars
	startOffBeat   = 2.0   // the first note off the beat
	longestPhrase  = 8     // bars
	costPerBar     = 0.3
)

// The beats and metres tried, simpler ones cheaper. Common practice, no source; weights set on
// made-up calls. A quarter is divided in four (or two, or not at all), now and then in three; three
// eighths are divided in three, seldom in six or two.
var pulses = []pulse{
	{
		least: 0.30, usual: 0.62, most: 1.10, perQuarter: 12, offsets: []int{0, 6, 3, 9},
		divisions: []division{
			{4, 0, []float64{0.2, 1.7, 0.8, 1.7}},
			{3, 1.8, []float64{0.2, 0.6, 0.6}},
			{6, 4.0, []float64{0.2, 1.2, 0.6, 1.2, 0.6, 1.2}},
		},
		metres: []metre{
			{rhythm.MustParseMeter("4/4"), 4, 0},
			{rhythm.MustParseMeter("3/4"), 3, 1.2},
			{rhythm.MustParseMeter("2/4"), 2, 1.5},
			{rhythm.MustParseMeter("5/4"), 5, 3.0},
			{rhythm.MustParseMeter("7/8=2+2+3"), 3.5, 3.5},
			{rhythm.MustParseMeter("5/8=2+3"), 2.5, 3.5},
		},
	},
	{
		least: 0.42, usual: 0.75, most: 1.50, perQuarter: 8, offsets: []int{0, 4, 8},
		divisions: []division{
			{3, 0, []float64{0.2, 0.9, 0.8}},
			{6, 2.0, []float64{0.2, 1.2, 0.8, 1.2, 0.8, 1.2}},
			{2, 2.5, []float64{0.2, 0.8}},
		},
		metres: []metre{
			{rhythm.MustParseMeter("6/8"), 2, 0.8},
			{rhythm.MustParseMeter("12/8"), 4, 2.0},
			{rhythm.MustParseMeter("9/8"), 3, 2.5},
		},
	},
}
