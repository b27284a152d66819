package fit

import "clapladder.example/patterns/difficulty"

// DefaultSettings are those behind the weights of [difficulty.DefaultModel].
//
// The priors are set by hand. What they rest on, in tiers (logits) per unit:
//   - syncopation 0.25, silent beats 0.3: the conditions of Grahn and Brett (2007) differ by 0.93 logits, and their phrases by
//     2.6 units of the one and 1.3 of the other;
//   - variety 0.15, unevenness 0.1: a re-analysis of the clap-back examinations of 2015 and 2016 finds the information in
//     the intervals and the changes of interval to go with the grade more closely than any measure of syncopation, and
//     cells of 3:2 after them;
//   - length 0.4: in the same re-analysis phrases of four bars of 3/4 were passed by 4 to 47 per cent, of three bars by 30 to
//     87. That is some 0.6 logits a beat, of which variety takes a part; and the year differs too;
//   - division 1, pace 0.8: their parts are in tiers already, set after the order of the teaching sequences;
//   - sounds 0.7: common practice, no source. No data vary it, so it stays where it is.
//
// The ladder of teaching steps fixes 0.7 tiers a step only, since its phrases are one bar long and later steps are
// played in longer ones.
func DefaultSettings() Settings {
	return Settings{
		Prior:      difficulty.Features{0.25, 0.3, 0.15, 0.4, 0.1, 1, 0.8, 0.7},
		PriorSD:    difficulty.Features{0.05, 0.1, 0.04, 0.08, 0.05, 0.3, 0.3, 0.1},
		LogitSD:    0.5,
		RatingSD:   0.3,
		MetricSD:   0.05,
		LadderStep: 0.7,
		LadderSD:   1.5,
		Margin:     0.5,
		MarginSD:   3,
		SlopeStart: 0.2,
	}
}
