package difficulty

import (
	"fmt"

	"clapladder.example/rhythm"
)

// Feature is one thing that makes a phrase hard to clap back.
type Feature uint8

// The features of the difficulty model. Each is 0 or more; more is harder.
const (
	Span        Feature = iota // beats from the first stroke to the last
	Runs                       // stretches of equal gaps between strokes
	Syncopation                // off-beat strokes held over a stronger place
	SilentBeats                // beats without a stroke, most of all where an off-beat stroke follows
	OffBeats                   // how far strokes lie from the beats, weighted, a stroke
	Unevenness                 // neighbouring gaps in a ratio other than 1:1, 1:2 or 1:4, such as 3:2
	Division                   // how beats and bars are divided: binary before ternary before unequal
	Pace                       // quick strokes and a beat outside the comfortable range
	Sounds                     // changes between body sounds, accents away from the beat

	FeatureCount = 9 // number of features
)

// Features holds the value of every feature of one phrase, indexed by Feature.
type Features [FeatureCount]float64

// FeaturesOf measures a phrase. It does not allocate. Phrases that are equal have equal features,
// but for Pace, which depends on the tempo. The zero Phrase gives zeros.
func FeaturesOf(p rhythm.Phrase) Features {
	var w walk
	w.run(p)
	return w.values
}

var featureNames = [FeatureCount]string{
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

// MarshalText writes the feature as [Feature.String] does.
func (f Feature) MarshalText() ([]byte, error) {
	if int(f) >= len(featureNames) {
		return nil, fmt.Errorf("feature %d does not exist", f)
	}
	return []byte(featureNames[f]), nil
}

// cause is one place of a phrase that adds to a feature, kept only where somebody asks why.
type cause struct {
	feature  Feature
	kind     causeKind
	from, to int     // steps; to is not included
	amount   float64 // share of the feature's value
}

type causeKind uint8

// The kinds of cause, each with its own words in an explanation.
const (
	heldOver    causeKind = iota // an off-beat stroke held over a stronger place
	silentStart                  // nothing on the beat, a stroke inside it
	silentBeat                   // nothing in the whole beat
	silentTail                   // silence after the last stroke
	changingGaps
	longPhrase
	offBeatStroke
	pairDivision
	tripletDivision
	fineDivision
	mixedDivision
	unevenInterval
	quickStrokes
	slowBeat
	fastBeat
	compoundMetre
	additiveMetre
	oddMetre
	changedSound
	offBeatAccent

	causeKinds = iota // number of kinds
)
