package rounds

import "clapladder.example/assess/internal/activity"

// Every number that was set by trying stands here. They were set on the tuning half of made-up
// warm-ups, and what a change does is printed by
//
//	SPLIT=tuning go test -run '^$' -bench Quality -benchtime 1x ./assess
//
// Scores are natural-log odds against "these attacks are something else", the strength of one
// attack is clamped, and what costs is subtracted. "of a beat" is in beats, decibels are relative
// to what is named, negative for below, and SD stands for standard deviation.

// Odds of a single source near the phone, before a recording has taught its own: sharpness speaks
// for it.
const (
	contrastEven        = 8.0 // dB over what was before, that speaks neither for nor against
	contrastWeight      = 0.25
	concentrationEven   = 0.3 // share of the energy
	concentrationWeight = 5.0
	oddsLimit           = 3.0
)

// What the leader sounds like, learnt from the rounds of the pass before.
const (
	passes      = 3    // the first with general odds, then with those of what was found
	bankEnough  = 4    // answered rounds of the bank to learn from, before any rhythm of its own is read
	leastLearnt = 6    // attacks that make a class
	farBelow    = 14.0 // dB below the leader's usual level from where an attack is none of the leader's
	farBelowLow = 22.0 // the same for a stamp or a pat
	strongBelow = 8.0  // dB below the leader's usual level: a softer stroke is the leader's only if others say so
)

// A phrase laid on attacks.
const (
	noteEarns        = 2.6  // an attack where a note is expected
	noteMissing      = 9.0  // silence where a note is expected
	noteMasked       = 4.0  // no attack, but some sound
	maskedFrom       = 0.2  // activity from which a missing note may only be masked
	strayNoteCosts   = 4.0  // an attack of the leader's where the phrase has none
	strokeMissing    = 12.0 // noteMissing, once the leader's sound is known
	maskedShare      = 0.6  // of the height of the leader's usual stroke, in place of maskedFrom
	maskedLow        = 0.5  // of the activity of all bands: less of it in the clap band is a dull sound
	othersSlope      = 1.5  // of the odds that an attack is somebody else's, what it earns less
	othersMost       = 4.0  // at most
	strokeBefore     = 0.02 // seconds before and after a note within which sound may mask it
	strokeAfter      = 0.03
	strokeReach      = 0.025 // seconds around a stroke within which its activity is highest
	strayStrokeCosts = 12.0  // strayNoteCosts, once the leader's sound is known
	strayTailCosts   = 3.0   // the same after the last note, where it may be somebody of the group
	startAfter       = 1.3   // seconds without a stroke of the leader's before a call
	sameStroke       = 0.03  // seconds around a stroke's place within which it is that stroke
	beforeCosts      = 7.0   // a stroke there that no answer explains
	lateClap         = 0.15  // seconds around an answer within which claps are still its own
	strokeExplained  = 1.5   // what a stroke of the leader's is worth for which a call is the reason
	strayHalf        = -9.0  // dB: at this level relative to the call's an attack is half a stray
	timingSD         = 0.018 // seconds
	levelSD          = 4.5   // dB
	colourSD         = 0.15
	thumpSD          = 5.0 // dB
	timingMost       = 3.0
	unevenMost       = 2.0           // for the level of one note off that of its call, half of it for colour and thump
	strokeUnevenMost = 5.0           // the same once the leader's sound is known
	callLevelSD      = 1.5 * levelSD // dB, of whole calls
	callLevelMost    = 4.0
	oddKindCosts     = 0.8  // a low stroke among high ones, or the other way, where the phrase has none
	soundsApart      = 1.0  // SD of colour or thump between two kinds of stroke that differ in sound
	tempoHintSD      = 0.04 // the same around a tempo that all calls are said to keep
)

// What is tried, and what is kept.
const (
	shortestMatch  = 0.022 // seconds: an attack within this is on time at any speed
	longestMatch   = 0.05  // seconds
	matchShare     = 0.22  // of the shortest interval, between these two
	keepPerStart   = 6     // templates at one first note
	leastCall      = 4.5   // a proposal that earns less is dropped
	shortestSecond = 0.085 // seconds: the shortest interval two hands make
	mostNotes      = 256   // a template with more is no clap phrase
	coveredBelow   = 6.0   // dB below the leader's usual level from where a stroke covers none of theirs
	firstNoteOdds  = -2.2  // least odds of an attack to be a call's first or last note
)

// A bar of beats before the call.
const (
	countInEarns = 2.4  // for each beat of it
	countInCosts = 2.0  // a count-in is less usual than none
	countInReach = 0.05 // seconds around the pulse
	countInClear = 0.6  // of a beat before it without the leader
)

// An answer's pattern is looked for from a little before the end of the call until answerWait
// later.
const (
	answerEarly     = 0.35 // of a beat before the end of the call
	answerWait      = 6.0  // seconds
	answerAfter     = 0.14 // seconds after the call's last note: nobody answers earlier
	answerOver      = 0.35 // of a beat after its bar an answer is over
	nextAfter       = 0.3  // seconds after the answer's last note the next call may begin
	seamlessWithin  = 0.6  // of a beat: an answer this close to the end of the call is on the next bar
	delayStep       = activity.DelaySteps * activity.Step
	ratioLow        = 0.86 // answer's step over the call's step
	ratioHigh       = 1.14
	ratioStep       = 0.02
	ratioSD         = 0.05
	waitSecondCosts = 0.6  // for each second
	laterCosts      = 1.0  // an answer that does not follow on the next bar
	lateSD          = 0.09 // seconds around the usual lag of an answer on the next bar
	usualLag        = -0.01
	lateMost        = 3.0
	offBarCosts     = 0.6  // an answer that neither follows at once nor waits whole beats
	matchEarns      = 6.0  // for a full correlation
	matchEven       = 0.4  // correlation that speaks neither for nor against
	highestMatch    = 1.1  // more than any correlation, also where pulses overlap a little
	leastActivity   = 0.12 // of a strong burst, at the notes: below it nobody claps
	hitEarns        = 1.5  // a note as strong as the answer's strong ones
	noteCosts       = 0.75 // every note of the answer, so that silent notes count against
	strayCosts      = 0.7  // a burst of the group as strong as a note where none is
	earlyCosts      = 1.4  // the same before the first note
	lookBack        = 1.2  // of a beat before the first note
	strayReach      = 0.1  // seconds: bursts closer to a note belong to it
	presenceEarns   = 3.0  // that there is clapping at all, in full from presenceFull of a strong burst
	presenceLeast   = 0.15
	presenceFull    = 0.5
	rivals          = 3    // places compared closely
	rivalApart      = 0.12 // seconds
	straightOn      = 0.6  // of a beat after its end a call without an answer is silent
	straightOnCosts = 6.0
	goesOnCosts     = 4.0  // each stroke of the leader's between a call and its answer
	goesOnUntil     = 0.25 // seconds before the answer: later ones may be the group's first
)

// When answers begin, and whether calls are answered.
const (
	habitLeast   = 3    // answers that make a habit
	habitDoubt   = 2.0  // answers' worth of doubt
	habitSD      = 0.08 // seconds: the least that answers stray
	habitLoose   = 0.3  // seconds: straying more is no habit
	habitBreaks  = 4.5  // most that breaking it costs
	habitAnswers = 2.0  // what an answer earns where every call is answered
)

// Whose strokes an answer is made of. Nearly every note of one person's answer is as sharp as a
// single source. Of three people's notes at most 0.78 are; of a larger group's now and then as many
// where a dry room makes claps short, but those lack the concentration.
const (
	soloReach   = 0.06 // seconds around a note
	soloSharp   = 0.86 // of the notes that an attack meets
	soloDense   = 0.22 // mean concentration
	soloLeast   = 8    // notes to go by
	soloMet     = 0.55 // of the notes: a pupil's answers reach 0.64
	soloAnswers = 0.5  // of the calls
	soloQuiet   = 13.0 // dB below the person's usual stroke from where an attack is none of theirs
	soloOdds    = 0.0  // of a single source
	soloLate    = 0.5  // of a beat after the last bar

	leaderReach     = 0.04 // seconds around a note
	leaderNoteCosts = 1.9  // for each note
	onePersonCosts  = 3.0  // an answer of one person is rarer than a count-in before a call
	sharpOdds       = 1.5
	othersOdds      = -1.0 // below it an attack is known to be another's
	sharpShare      = 0.6  // of the notes
	sourceLevelSD   = 2.5  // dB, of one source
	sourceColourSD  = 0.1
	sourceThumpSD   = 3.0 // dB

	poorMatch   = 0.45 // median over a recording's answers; loose groups and stamps reach 0.5
	rareAnswers = 2    // so few answers
	rareAmong   = 3    // to so many times as many calls without one are chance

	alongShare = 0.6  // of the notes with a stroke of the leader's: the leader plays along
	alongReach = 0.09 // seconds around a note
	alongLeast = 0.5  // how far an attack must be the leader's
)

// What a round must earn to be believed.
const (
	leastAnswered   = 9.0
	leastUnanswered = 13.0
	earlyNext       = 0.22 // seconds by which a call may begin before the last answer's bar is over
	confidenceScale = 5.0  // turns what a round earned above its threshold into odds
)

// What a leader says.
const (
	markEarns    = 8.0 // more than any doubt about one note, less than a whole phrase
	markOverlap  = 0.5 // of the call
	orderSkipped = 4.0 // a phrase of the order that was not called, or not heard
	orderBroken  = 9.0 // a round with a phrase that is not next
)

// The rounds as a sequence.
const (
	equalReading  = 3.5  // readings of the same attacks this close are told apart by the pulse
	onThePulse    = 0.12 // of a beat
	countInWithin = 1.3  // of a beat between a count-in and its call
	countInTempo  = 0.07 // natural log
	lonelyBelow   = 3    // answered rounds: with fewer, trying things out looks like a round by chance
	lonelyLeast   = 17.0 // what a round must earn then

	// A repeated answer must be clearer than a first one: nothing called for it.
	repeatMatch = 0.5
	repeatEarly = 0.35 // of a beat
	repeatLate  = 4.0  // beats
	repeatSpace = 0.8  // of its length must lie before the next call
)

// A call that no phrase of the bank explains.
const (
	freeCosts       = 1.5  // a rhythm of its own is rarer than one of the bank
	freeCall        = 1.5  // leastCall for it, where strokes need a reason
	freeNoteCosts   = 0.8  // for each note: it may lie anywhere
	freePrior       = 0.8  // for each unit that its notation is complicated
	freeLeast       = 3    // notes
	freeMost        = 24   // notes
	freeShortest    = 0.9  // seconds from first to last note
	freeLongest     = 9.0  // seconds
	freeGap         = 2.8  // seconds: the longest interval inside a call
	freeOdds        = 0.0  // attacks with lower odds are not taken as notes
	freeSure        = 1.2  // a second reading takes only attacks with such odds
	freeHeel        = 0.35 // seconds after a stroke the next sounds duller:
	freeHeelOdds    = -2.0 // such odds are enough there
	freeHeelLevel   = -5.0 // dB relative to the leader's usual level, at least
	freeDullOdds    = -1.2 // such odds are enough for a stamp or a pat
	freeOddsUnknown = 1.2  // the same as long as the leader's sound is not known
	freePause       = 0.8  // seconds: the shortest answer to anything
	freeCountIn     = 3    // beats
	fastestBeat     = 0.30 // seconds, of a count-in
	slowestBeat     = 1.10
	freeCountInEven = 0.08 // of a beat
	cleanTiming     = 0.04 // seconds: a phrase of the bank that keeps to it needs no rival
	cleanPause      = 0.8  // of the call, after it without a stroke of the leader's
	freeOffBeat     = 1.6  // most that an answer off the call's beats costs
	freeSoon        = 0.22 // seconds after the last note an answer can hardly begin,
	freeSoonCosts   = 4.0  // which costs
	freeSpare       = 2    // strokes before a pause that may be the group's first
	freeEarly       = 0.5  // an answer before the bar that was guessed is over
)

// Swing: how late the second half of a beat comes, of the beat. 0 is straight, 1/6 a triplet.
const (
	swingFrom  = 0.03 // less is how people clap
	swingTo    = 0.19
	swingStep  = 0.01
	swingCalls = 2    // that must be phrases of the bank with swing
	swingLeast = 8.0  // log odds over straight, of all calls together
	swingTempo = 0.35 // natural log, around the phrase's own tempo
	swingReach = 0.13 // seconds: the most that a swung stroke lies off its straight place
	swingOff   = 2.5  // timingSD that a stroke may lie off its place
)

// A phrase of the bank that was clapped with one stroke too many, too few, or in another place.
const (
	variationCosts = 6.0 // a leader does so now and then, and there are many ways to
	movedCosts     = 3.0 // in another place: both at once
	finerCosts     = 1.0 // for each time that its place needs finer steps than the phrase's
)

// Calls with the same strokes get one reading.
const (
	unreadCosts = 8.0  // a call that would have to take a reading nobody proposed for it
	sameTempo   = 0.15 // natural log
	sameWithin  = 0.05 // seconds
)
