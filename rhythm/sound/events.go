package sound

import (
	"math"
	"slices"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/midifile"
)

// Rate is the number of samples in a second. Sound has one channel.
const Rate = 44100

// Event is one sound of a sequence.
type Event struct {
	Sample  int           // where it begins; for one of a model answer, the middle of its hands
	Section int           // in which it lies, from 0 as in [Sequence.Sections]
	Step    int           // of the grid of that section's phrase, from the start of the section
	Role    midifile.Role // of the section
	Beat    bool          // of a count-in or a click; Sound then has no meaning
	Sound   rhythm.Sound  // of a stroke
	Accent  bool          // louder than its neighbours; in a count-in, the first beat of the bar
}

// Events lists the sounds in order of time, at one place a beat before a stroke. Places are rounded
// to the nearest sample from the start of the sequence, so that they do not drift. The caller owns
// the slice.
func (s *Sequence) Events() []Event {
	var out []Event
	for i, section := range s.sections {
		p := section.Phrase
		at := func(step int) int { return int(math.Round((section.Start + p.Seconds(step)) * Rate)) }
		if section.Role == midifile.CountIn || s.click {
			beats := p.Meter().Beats()
			for bar := range section.Bars {
				for beat, step := range p.BeatSteps()[:beats] {
					step += bar * p.BarSteps()
					out = append(out, Event{
						Sample: at(step), Section: i, Step: step,
						Role: section.Role, Beat: true, Accent: beat == 0,
					})
				}
			}
		}
		if section.Role == midifile.Call || section.Role == midifile.Answer {
			for _, stroke := range p.Strokes() {
				out = append(out, Event{
					Sample: at(stroke.Step), Section: i, Step: stroke.Step, Role: section.Role,
					Sound: stroke.Sound, Accent: stroke.Accent,
				})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Event) int { return a.Sample - b.Sample })
	return out
}

// length is the number of samples of the whole.
func (s *Sequence) length() int { return int(math.Round(s.Seconds() * Rate)) }
