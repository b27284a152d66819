// Package spoken gives words to say a phrase by, one for each box: counting, length names,
// beat-function syllables and South Indian counting syllables. [Aligned] sets them under the boxes.
// [Place] names a place by its count.
//
// There are two families. Length names say how long a sound lasts: the same sound has the same name
// wherever it stands. All others say where in the beat it stands: the same place has the same word
// whatever the length. Groups that learnt one family are confused by the other, so a leader picks
// one.
//
// A beat is said in the fewest equal boxes that hold its strokes ([rhythm.Phrase.BoxesPerBeat]): a
// silent box that nobody needs to think of has no word. In additive metres a beat has at least a
// box for each unit, since its units tell it from the others. Words of silent boxes are said
// quietly or only thought; Aligned puts them in parentheses.
//
// Teachers differ in details. Where a word is ours because no usage is settled, the comment of the
// system says so.
package spoken
