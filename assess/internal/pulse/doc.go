// Package pulse finds a beat that somebody keeps through call and answer, with a foot, a low drum or
// a shaker, so that it can be taken out before calls and answers are read.
//
// What tells a kept pulse from the strokes of a call is that it goes on:
//
//   - its strokes sound alike, more than those of two people do;
//   - each has others of its sound one beat away, or two, where a louder stroke hides one;
//   - it never divides its beat;
//   - most of its strokes are no notes of any call that was heard.
//
// The beat may change from call to call. Only strokes that sound like the train and stand on its
// beat are of it: a clap on the beat is louder or has another colour, and stays.
//
// Times are seconds from the start of the recording, levels dB. Values are never changed once made,
// and may be read by many goroutines. Results are deterministic.
package pulse
