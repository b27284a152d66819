// Package exchange weighs whether a recording holds call and response at all, and where.
//
// Typing, clocks, steps, knocks, drums and one person clapping are trains of sharp sounds too, and
// somewhere in minutes of them some strokes look like a call and the next like its answer. What
// tells an exchange from them does not show in one round but in many:
//
//   - call and answer come from two sources, so that they differ in level, colour, width and
//     distance in the same way each time;
//   - answers fit their own calls better than they fit calls of another rhythm;
//   - answers begin when their turn is: always so many beats, or always a breath, after the call;
//   - calls are plainly what they are taken for;
//   - the strokes around a call are the call's: none is left over within it or between rounds, least
//     of all one that sounds like the calls or the answers themselves;
//   - most calls are answered, the calls differ, and there are more than a few.
//
// [Judge] sums this up over the best stretch of rounds as log odds, with the rounds beside it that
// the same two sources make, and looks for further stretches before and after it. A leader's own
// repetition has one source; plain beats, evenly spaced, count a little less and are believed.
//
// Values are safe for concurrent use; nothing that is passed in is changed.
package exchange
