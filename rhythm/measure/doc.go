// Package measure computes published measures of rhythm complexity, one file each. [All] lists them
// with source, meaning and the metres they are defined for.
//
// # From phrase to pattern
//
// A measure works on a [Pattern]: the onsets of a phrase on the points of its metre. Body sounds
// are not looked at; accents count only in the measure of Sioros & Guedes. Each beat is divided as
// follows, whatever the notation was, so that equal phrases give equal values.
//
//   - Simple metres: four points a beat (sixteenths in 4/4), eight or sixteen where a stroke needs
//     them.
//   - Compound metres: three points a beat (eighths), six or twelve where needed.
//   - Additive metres: one point a written unit (eighths in 7/8), two, four or eight where needed.
//   - Where all beats of a simple metre fit thirds (3, 6, 12) and not fourths, thirds are used;
//     where all beats of a compound metre fit 2, 4, 8 or 16, those are used.
//   - Otherwise beats are divided in more than one way. Each beat then keeps its own division, and
//     the measures that need one pulse for the whole phrase are undefined. A beat whose boxes are
//     no halving (2, 4, 8, 16) or third (3, 6, 12) is split by its prime factors, smallest first.
//
// The points carry weights after Longuet-Higgins & Lee (1984): 0 for the first point of a bar, -1
// for those that the first split of the bar adds, and so on down. Bars of a phrase are weighted
// alike: no bar is stronger than another. Equal beats are split by their prime factors, smallest
// first (4/4: 2, 2; 6/4: 2, 3; 5/4: 5), marked strong beats of equal size by group and then by
// beat. This much is the usual list of subdivisions. For unequal beats or groups no publication
// gives weights; our own choice is a tree whose first split is the groups as written, 7/8=2+2+3
// giving 0 -2 -1 -2 -1 -2 -2 and 5/4=3+2 giving 0 -2 -2 -1 -2 on its quarters.
//
// # Ends and cycles
//
// A phrase of a call and response has an end. Measures score it so: nothing follows the last pulse,
// the last stroke lasts to the end of the phrase, and rests before the first stroke are not
// preceded by a stroke. Published tables often score a cycle that repeats for ever; set
// [Pattern.Cyclic] to get that. Each measure says what its publication does and which of the two
// change it.
//
// # Undefined values
//
// A measure that has no meaning for a metre or a phrase gives no number but an [*UndefinedError].
package measure
