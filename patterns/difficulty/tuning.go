package difficulty

import "clapladder.example/patterns/internal/features"

// All fitted numbers of the model. Each is printed again by
//
//	go run ./cmd/fitdifficulty -results FILE
//
// where FILE holds the results of the examination of 2015 (see weightsByMemory); they are not part
// of this project.

// weightsByMemory, tiers per unit, is the first of the two models that are averaged: how much there
// is to keep, and what fights the pulse. A ridge regression to zero (λ = 3 on standardised
// features, no weight below zero, a free constant for each data set, each set weighted as 20
// rhythms) over three sets:
//   - how 20 rhythms of the entrance examination of a conservatory in 2015 were clapped back by 609
//     candidates, as logits of failing (aggregated from the annotations of the MAST rhythm data:
//     Falcao et al. 2019, ISMIR; Koekturk-Guezel et al. 2023, Digital Signal Processing 133);
//   - ratings of the 35 patterns of Povel and Essens (1985) by the listeners of Shmulevich and
//     Povel (2000), standardised, 0.8 logits a standard deviation;
//   - the metric simple and complex sequences of Grahn and Brett (2007), 0.93 logits apart.
var weightsByMemory = features.Values{
	features.Span: 0.407, features.Runs: 0.103,
	features.Syncopation: 0.198, features.SilentBeats: 0.186,
}

// weightsByDistance, tiers per unit, is the second: length, and how far strokes lie from the beats.
// In round figures, set beforehand and not fitted here; the same regression gives 0.39 and 0.74.
var weightsByDistance = features.Values{features.Span: 0.50, features.OffBeats: 0.79}

// weightsByPrior, tiers per unit, are what no data settle, and are never fitted: division, in tiers
// already, by the order of the published teaching sequences; pace by what is known of the limits of
// hands and beats (Repp 2005, 2006); unevenness after Povel (1981) and Wu et al. (2013), who give
// an order and no amount; sounds by common practice, no source.
var weightsByPrior = features.Values{
	features.Unevenness: 0.1, features.Division: 1, features.Pace: 0.8, features.Sounds: 0.7,
}

// weightSD, tiers per unit, is how far a weight may be off, by hand: for length its spread when the
// examination is left out (0.454 against 0.25), for changes the half of the difference between the
// two models, for syncopation, silent beats and off-beats, which stand in for each other, less than
// that half; for the priors about a third of the weight, for unevenness half.
var weightSD = features.Values{
	features.Span: 0.12, features.Runs: 0.05, features.Syncopation: 0.05, features.SilentBeats: 0.05,
	features.OffBeats: 0.15, features.Unevenness: 0.05, features.Division: 0.3, features.Pace: 0.3,
	features.Sounds: 0.3,
}

// fittedMost is the largest value of each fitted feature in the data behind the weights. Nothing is
// known beyond: half of what the model adds there is taken as an error.
var fittedMost = features.Values{
	features.Span: 9, features.Runs: 7, features.Syncopation: 7, features.SilentBeats: 3.75,
	features.OffBeats: 3.71,
}

// beyondShare is that half.
const beyondShare = 0.5

// residualSD, logits, is the error that is left for a phrase of a data set that no fit has seen,
// when chance in the number of people and the doubt about the weights are taken off.
const residualSD = 0.58

// mostSD, logits, is the largest error that is stated.
const mostSD = 3.0
