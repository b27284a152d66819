// Package difficulty places a phrase on the tier scale and says why it lies there.
//
// [Model] is a weighted sum of a few [Features] of a phrase. One unit is one logit is one tier, and
// plain beats on 1-2-3-4 at 96 beats a minute have difficulty 1. [Model.Explain] says what makes a
// phrase hard and where; [Model.Easier] and [Model.Harder] find phrases close to it.
//
// Values of this package may be read by several goroutines at once.
package difficulty
