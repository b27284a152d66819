// Package synth makes recordings of call-and-response clap warm-ups that never took place, together
// with the truth about them: a leader, a group of people who each have their own hands, timing and
// ability, a room that rings, people who talk, and the phone that recorded it all. Tests,
// benchmarks and the demo need such recordings because nobody can say who clapped what in a real
// one.
//
// It shares no code with the listening side of the project, so that a mistake cannot cancel itself
// out.
//
// # Pipeline
//
//  1. A [Scene] says who is there, what is called, how the warm-up runs, and what the room and the
//     phone are like.
//  2. The plan: who gets each phrase is drawn from logistic(level − difficulty) for every person;
//     who does not makes typical mistakes; every stroke gets a time.
//  3. The sound: dry strokes are mixed, convolved once with the room, and talk, music and noise are
//     added at levels relative to the strokes.
//  4. The phone: band limits, slow gain control, levelling, a limiter, a gate, coarse coding,
//     clipping.
//
// Below it, each of its own subject: people with phrases and mistakes, sounds as they are made,
// acoustics of room and phone, and signal, the filters and random numbers of all. Package warmups
// draws scenes by class.
//
// # Conventions
//
// Times are seconds from the start of the recording, as heard at the phone: the air between hands
// and phone is already in them, and each is a whole number of samples. Positions inside a phrase
// are beats from the start of bar 1. Difficulties and levels are on the tier scale, one unit = one
// logit.
//
// Levels in dB are relative to the strokes: the reference is the mean power of all strokes with
// their room over the spans in which a round is played, from the first stroke of a call to 0.3 s
// after the last stroke of the answer, with the silences in between. Single strokes stand about 10
// dB above that mean.
//
// # Determinism
//
// The same scene gives the same samples and the same truth, bit for bit, on one kind of processor;
// processors that fuse multiplication and addition can differ in the last bit of a sample. Plan and
// sound draw from separate random streams, so that changing the room, the phone or its sample rate
// leaves all times where they were (to the nearest sample).
//
// Functions of this package may be called concurrently.
package synth
