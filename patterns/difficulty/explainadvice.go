package difficulty

import "clapladder.example/patterns/internal/features"

// local reports whether a cause has a place of its own in the phrase.
func local(k features.CauseKind) bool {
	switch k {
	case features.ChangingGaps, features.LongPhrase, features.MixedDivision, features.SlowBeat,
		features.FastBeat, features.CompoundMetre, features.AdditiveMetre, features.OddMetre:
		return false
	}
	return true
}

// advice is what goes wrong at a cause, what helps, and what that rests on.
type advice struct{ err, hint, source string }

// adviceFor holds one line for each kind of cause. Errors are those of people who copy rhythms in
// the laboratory and in examinations, where somebody has counted them; hints are the teachers'.
var adviceFor = [features.CauseKinds]advice{
	features.HeldOver: {
		"the stroke moves onto the beat, or drops out",
		"keep the pulse in the feet; half the room claps the pulse while the others clap the phrase",
		"error: Fitch & Rosenfeld 2007; hint: practice",
	},
	features.SilentStart: {
		"somebody claps on the silent beat, or the off-beat stroke drops out",
		"clap the missing beat too, then softer each time, then leave it out",
		"practice",
	},
	features.SilentBeat: {
		"the silence is filled, or cut short: long gaps come out about 8 % short in poor attempts",
		"say it first with a word for the rest; clap and say; whisper the rest; think it",
		"error: re-analysis of clap-back examinations 2015-16; hint: a teacher, 2009",
	},
	features.SilentTail: {
		"an extra clap at the end, or the answer comes in early",
		"say it first with a word for the rest; clap and say; whisper the rest; think it",
		"error: practice; hint: a teacher, 2009",
	},
	features.ChangingGaps: {
		"gaps are swapped, or strokes drop out; more go missing than are added",
		"put words to it, one syllable a stroke",
		"error: Grahn & Brett 2007, re-analysis of clap-back examinations 2015-16; hint: a " +
			"drum-circle leader",
	},
	features.LongPhrase: {
		"the end is lost, or the group stops half way",
		"cut it in two halves of equal length, learn each, join them",
		"error: Grahn & Brett 2007; hint: practice, in line with Drake 1993",
	},
	features.OffBeatStroke: {
		"the stroke moves onto the beat, or drops out",
		"keep the pulse in the feet; half the room claps the pulse while the others clap the phrase",
		"error: Fitch & Rosenfeld 2007; hint: practice",
	},
	features.UnevenInterval: {
		"intervals of 3 to 2 are stretched towards 2 to 1, by 16 % in poor attempts; dotted ones even out",
		"say neutral syllables, then rhythm syllables, then clap",
		"error: re-analysis of clap-back examinations 2015-16, few cases; hint: a teacher, 2012",
	},
	features.PairDivision: {
		"a stroke too many or too few in the pairs",
		"say neutral syllables, then rhythm syllables, then clap",
		"error: Grahn & Brett 2007; hint: a teacher, 2012",
	},
	features.TripletDivision: {
		"the three even out to two, or the last comes late",
		"say neutral syllables, then rhythm syllables, then clap",
		"error: practice, in line with Drake 1993; hint: a teacher, 2012",
	},
	features.FineDivision: {
		"the quick strokes come in the wrong number",
		"say neutral syllables, then rhythm syllables, then clap",
		"error: Grahn & Brett 2007; hint: a teacher, 2012",
	},
	features.MixedDivision: {
		"all beats are divided alike",
		"take one kind of beat alone until it is sure, go back one step when it is not",
		"error: in line with Drake 1993; hint: a teacher, 2012",
	},
	features.QuickStrokes: {
		"strokes run together and the phrase speeds up",
		"slow down by 10 to 15 %, but not below 60 beats a minute",
		"error: Thomson et al. 2018 for the speeding up; hint: practice",
	},
	features.SlowBeat: {
		"the gaps are cut short and the beat drifts apart",
		"keep the pulse in the feet, or take it a little faster",
		"error: Bååth & Madison 2012 for the spread; hint: practice",
	},
	features.FastBeat: {
		"off-beat strokes slip onto the beat",
		"slow down by 10 to 15 %, but not below 60 beats a minute",
		"error: Repp 2005; hint: practice",
	},
	features.CompoundMetre: {
		"long and short come out even, or in two",
		"say one-two-three on every beat, clap what the phrase has of it",
		"error: in line with Drake 1993; hint: practice",
	},
	features.AdditiveMetre: {
		"the beats even out",
		"say the groups aloud, clap the first of each group only, then the rest",
		"error: Repp, London & Keller 2012 for unequal pairs; hint: practice",
	},
	features.OddMetre: {
		"a beat is added at the end of the bar, to make an even number",
		"say the groups aloud, clap the first of each group only, then the rest",
		"practice",
	},
	features.ChangedSound: {
		"everybody claps throughout, or comes late after the change",
		"clap it all first, then add one other sound at a time",
		"practice",
	},
	features.OffBeatAccent: {
		"the accent is lost, or goes to the beat",
		"keep the pulse in the feet; say it with a louder syllable first",
		"practice",
	},
}
