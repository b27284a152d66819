// Package plan turns a belief about a group into what its leader does next: the
// pieces to open with, the phrase to call next, and the card for a warm-up.
//
//   - [Choose] picks openers from a graded repertoire: a sure start, a main
//     choice, a stretch, something to fall back to for each, and parts for a
//     room that is mixed.
//   - [Caller] says which phrase of a bank would tell most now, within the
//     manners of leading.
//   - [NewCard] lays out a warm-up that can be followed by ear, without any
//     device: one way on where the group got it, another where it was lost.
//
// Beliefs come from package ability; [AtLevel] and [AtTier] make one where the
// leader names a level or a tier. Difficulties, levels and tiers are on the tier
// scale: one unit is one tier and one logit.
//
// Everything is deterministic: where two choices are equally good, the earlier
// in the file wins. Reasons are one line in a leader's words; they are about the
// room as a whole and never about one person.
package plan
