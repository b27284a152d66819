// Package ability estimates what a group can manage from the shares of it that
// got each of a few phrases. Numbers go in and numbers come out: it knows
// nothing of sound or notation.
//
// # Model
//
// Everything sits on the tier scale, where one unit is one logit and one tier.
// The people in the room have abilities with mean m (the level) and standard
// deviation s (the spread). A person of ability θ manages a phrase of
// difficulty b with chance logistic(a(θ−b)), so the share of the group expected
// to manage it is
//
//	p(b) = ∫ logistic(a(θ−b)) N(θ; m, s²) dθ
//
// The discrimination a is not known exactly and is integrated over 0.8 to 2.
// A round gives a share f, which differs from p(b) for four reasons, each with
// its own term: the microphone (ShareSD, or a [Reading] where what is heard is a
// best guess that keeps to the middle), the finite number of people, the
// error of the phrase's stated difficulty, and rounds that are not what they
// seem (a false start, another phrase), which a small outlier part absorbs.
//
// The posterior over m, s and a is computed on a grid; nothing is maximised,
// so a group that got everything or nothing still has a finite answer.
//
// # Level of whom
//
// Level and spread describe the people who are in the room, not a population
// they might have been drawn from: the leader plays with these people.
//
// # Comfort tier
//
// The comfort tier is the highest tier t such that at least a given share of
// the group (70 % by default) is expected to manage a phrase of difficulty t.
// Tier chances and stated tier come from the same posterior.
//
// # Limits
//
// From shares alone a steep and a flat curve can be told apart, so the result says whether people
// are alike or mixed. A steep curve needs many exact rounds to be sure of, so groups whose people
// are alike are mostly called "some spread". What the mix looks like cannot be told, nor anything
// about one person. A low share may mean soft or seated clapping as well as low ability; see
// [Warning].
//
// # Concurrency
//
// [Posterior], [Result], [Prior], [Observation] and [Scorer] are never changed
// after they were made and may be shared between goroutines. A [Session] may
// not. The tables behind them are computed once, on first use, and read only.
package ability
