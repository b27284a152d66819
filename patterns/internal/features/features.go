// Package features measures what makes a phrase hard to clap back, and says where. It holds no
// weights: package difficulty has them.
package features

import "clapladder.example/rhythm"

// Feature is one thing that makes a phrase hard to clap back.
type Feature uint8

// The features of the difficulty model. Each is 0 or more; more is harder.
const (
	// Span is the beats from the first stroke to the last. What does not fit into memory is lost,
	// and a bar that comes back has to be kept too (clap-back examinations; span of memory from
	// memory, no source).
	Span Feature = iota

	// Runs are the stretches of equal gaps between strokes. Every change from one gap to another is
	// one more thing to keep in mind (clap-back examinations; Grahn & Brett 2007).
	Runs

	// Syncopation are off-beat strokes held over a stronger place. They fight the pulse that people
	// clap to, and come back moved onto it (Longuet-Higgins & Lee 1984 for the measure; Grahn & Brett
	// 2007, Fitch & Rosenfeld 2007 for people).
	Syncopation

	// SilentBeats are beats without a stroke, most of all where an off-beat stroke follows. A beat
	// that nobody sounds has to be felt, and a stroke that follows inside it has nothing to lean on
	// (Povel & Essens 1985: clock ticks on silence; Song et al. 2013: missing first beat).
	SilentBeats

	// OffBeats is how far strokes lie from the beats, weighted, a stroke. Strokes near a beat but not
	// on it are pulled onto it, most of all those that last over it (Gómez et al. 2005 for the
	// measure; clap-back examinations).
	OffBeats

	// Unevenness are neighbouring gaps in a ratio other than 1:1, 1:2 or 1:4, such as 3:2. Only
	// intervals of 1:1 and 1:2 are copied faithfully; 3:2 is stretched towards 2:1 (Povel 1981; Wu
	// et al. 2013).
	Unevenness

	// Division is how beats and bars are divided: beats in two come before beats in four, in three,
	// and mixed; equal beats before unequal ones (Drake 1993; the order of published teaching
	// sequences).
	Division

	// Pace are quick strokes and a beat outside the comfortable range, 0.46 to 0.75 s (McAuley et
	// al. 2006; Fraisse from memory). Hands have a limit, off-beat strokes slip at speed, and slow
	// beats drift apart (Repp 2005, 2006; Bååth & Madison 2012).
	Pace

	// Sounds are changes between body sounds, and accents away from the beat: one more thing to get
	// right (common practice, no source: no data).
	Sounds

	Count = 9 // number of features
)

// Values holds the value of every feature of one phrase, indexed by Feature.
type Values [Count]float64

// Of measures a phrase. It does not allocate. Phrases that are equal have equal features,
// but for Pace, which depends on the tempo. The zero Phrase gives zeros.
func Of(p rhythm.Phrase) Values {
	var w walk
	w.run(p)
	return w.values
}

// Explained is [Of] with the places of the phrase that add to each feature.
func Explained(p rhythm.Phrase) (Values, []Cause) {
	var causes []Cause
	w := walk{causes: &causes}
	w.run(p)
	return w.values, causes
}

// Dot is the sum of the products, feature by feature.
func (v Values) Dot(w Values) float64 {
	sum := 0.0
	for i := range v {
		sum += v[i] * w[i]
	}
	return sum
}

var featureNames = [Count]string{
	"length", "changes", "syncopation", "silent beats", "off-beats",
	"unevenness", "division", "pace", "sounds",
}

// String returns the name of the feature in one or two words.
func (f Feature) String() string {
	if int(f) < len(featureNames) {
		return featureNames[f]
	}
	return "unknown feature"
}

// Cause is one place of a phrase that adds to a feature, kept only where somebody asks why.
type Cause struct {
	Feature  Feature
	Kind     CauseKind
	From, To int     // steps; To is not included
	Amount   float64 // share of the feature's value
}

type CauseKind uint8

// The kinds of cause, each with its own words in an explanation.
const (
	HeldOver    CauseKind = iota // an off-beat stroke held over a stronger place
	SilentStart                  // nothing on the beat, a stroke inside it
	SilentBeat                   // nothing in the whole beat
	SilentTail                   // silence after the last stroke
	ChangingGaps
	LongPhrase
	OffBeatStroke
	PairDivision
	TripletDivision
	FineDivision
	MixedDivision
	UnevenInterval
	QuickStrokes
	SlowBeat
	FastBeat
	CompoundMetre
	AdditiveMetre
	OddMetre
	ChangedSound
	OffBeatAccent

	CauseKinds = iota // number of kinds
)
