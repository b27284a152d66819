// Package assess is the front door: a recorded call-and-response warm-up in, a [Report] out.
//
// # The way of a recording
//
//  1. Package audio decodes the file to a mono stream; samples are dropped as soon as their power
//     is known.
//  2. Package onset keeps the power of the clap bands over time and finds sharp attacks.
//  3. Package rounds finds who sounds when: calls, which phrase of the bank at which tempo, and
//     their answers.
//  4. Package response measures each answer against its phrase: participation, timing, extras,
//     mistakes.
//  5. Package ability turns the shares of the group that got each phrase into a level, a mix and
//     the chance of each tier.
//  6. Package plan picks openers from the repertoire and the call that would tell most next.
//
// Each step's value is plain data and can be had on its own from its package. [Recording] runs all
// of them, [Taps] starts at step 4 from onset times, [Tally] at step 5 from what a leader heard,
// [Session] takes rounds one at a time, [Listener] and [Follow] report while the recording still
// goes on.
//
// # Promises
//
// Nothing is uploaded, no audio is kept, no person is identified or ranked. The same input gives
// the same report, byte for byte. Low participation is not low ability: soft, seated or one-handed
// clapping is heard as less.
//
// Functions are safe for concurrent use; a Bank, Repertoire or Model that is passed in is only
// read.
package assess
