// Package rounds finds out who sounds when: which attacks are the leader's call of which phrase, at which tempo, and where
// the group's answer lies. It needs no click, no markers and no order.
//
// # How
//
//  1. Every attack gets odds of being a single source near the phone ([leader]).
//  2. Pairs of attacks as first and last note propose phrases of the bank at a tempo ([proposals]); a proposal earns for
//     every note that an attack meets on time, at an even level, and pays for missing notes and for attacks between. Phrases that begin alike
//     are laid on the attacks together, in a tree of shared beginnings, and given up together.
//     Stamps and pats are compared with each other, in the band they sound in. Runs of the leader's attacks that no phrase explains are proposed as improvised calls.
//  3. For every proposal the answer is looked for in the smoothed activity of the hands, at the phrase's own pattern, over
//     pause and tempo ratio.
//  4. A dynamic programme over time selects the set of rounds that do not overlap and earn most together.
//  5. The selected rounds teach what the leader sounds like here (level, colour, sharpness), when answers begin (on the next
//     bar, after a bar of silence, or after the same breath, in bars, beats or seconds) and whether calls are answered at all, and
//     2 to 4 are repeated.
//  6. Where the answers fit badly, where hardly any call has one, or where they sound like one person and are few or broken, nobody
//     answers: they are the leader's own next strokes.
//  7. Where nearly every note of the answers is as sharp as one clap, one person answers, and each stroke is kept by itself.
//
// Times are seconds from the start of the recording. Results are deterministic.
package rounds
