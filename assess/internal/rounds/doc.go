// Package rounds finds out who sounds when: which attacks are the leader's call of which phrase, at
// which tempo, and where the group's answer lies. It needs no click, no markers and no order.
//
// # Conventions
//
// Times are seconds from the start of the recording; delays and pauses are seconds, too, where a
// name does not say beats. A ratio is the answer's tempo step over the call's. Levels are dB,
// negative below what they are relative to. Odds are natural logarithms; what a reading earns is
// added and what it costs is subtracted, in the same unit, so that scores of readings compare. An
// attack is named by its index in the recording, -1 for none. Values are never changed once made,
// and may be read by many goroutines. Results are deterministic.
//
// # How
//
// A recording (what sounds) and a book (what may be called) are made once. Then a few passes
// follow, each a value: what one finds teaches the next.
//
//  1. Propose. Every attack has odds of being the leader's. Pairs of attacks as first and last note
//     propose phrases of the book at a tempo; a proposal earns for every note that an attack meets
//     on time, at an even level, and pays for missing notes and for strays. Phrases that begin
//     alike are laid on the attacks together, in a tree of shared beginnings, and given up
//     together. Runs of the leader's strokes that no phrase of the book explains are written down
//     (beat and grid found, the simplest notation) and compete with the phrases as calls of a
//     rhythm of their own; so does a phrase with one stroke more, one less or one moved. Once the
//     leader's sound is known, no strong stroke is dropped or added to make a phrase fit. Of
//     phrases that sound alike the plain one is preferred.
//  2. Answer. For every proposal the answer is searched for in the smoothed activity of the hands,
//     at the phrase's own pattern, over pause and tempo ratio.
//  3. Choose. A dynamic programme over time selects the rounds that do not overlap and earn most
//     together. Strokes shortly before a call speak against it, but not those of the answer before.
//  4. Learn. The chosen rounds teach what the leader sounds like here (level, colour, sharpness),
//     when answers begin (on the next bar, after a bar of silence, or after the same breath, in
//     bars, beats or seconds) and whether calls are answered at all.
//
// In the last choice every stroke that is surely the leader's asks for a reason. Calls with the same
// strokes get the one reading that all of them together say, and calls of a rhythm of their own that
// share a swing the phrases that they are with it. Then the rounds are settled as a sequence:
// count-ins are dropped, readings of the same claps are told apart by the running pulse, repeated
// answers are added. Where the answers fit badly, where hardly any call has one, or where they sound
// like one person and are few or broken, nobody answers: they are the leader's own next strokes.
// Where nearly every note of the answers is as sharp as one clap, one person answers, and each
// stroke is kept by itself.
package rounds
