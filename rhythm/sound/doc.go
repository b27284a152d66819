// Package sound renders phrases as sound and as Standard MIDI Files: a count-in, each call, and a
// gap for the answer or a model answer, to practise with or to run a warm-up from a loudspeaker.
//
//  1. [New] lays phrases out one after the other as a [Sequence] of sections: count-in, call, gap
//     or answer, pause. Every section is a whole number of bars, so that the pulse goes on from one
//     to the next.
//  2. [Sequence.Events] is the place of every single sound.
//  3. [Sequence.WriteWAV] renders them; [Sequence.WriteMIDI] writes the same sections in ticks.
//
// Sounds are synthesised: each is a burst of filtered noise and a few damped resonances, in order
// of brightness stamp, pat, clap, snap; frequencies and decays are common practice, no source, but
// for the clap, whose energy comes within about 10 ms as that of clapping people does. The count-in
// is a wood block, the click the same one, softer. A model answer is clapped by a few hands that
// lie a little apart, so that it is heard as a group; the middle of their strokes is at the notated
// time.
//
// How loud that is depends on the loudspeaker: begin quietly.
//
// Times are in seconds from the start. The same input gives the same output. Safe for concurrent
// use.
package sound
