package sound

import (
	"math"
	"slices"

	"clapladder.example/rhythm/internal/midiwrite"

	"clapladder.example/rhythm"
)

// rate is the number of samples in a second. Sound has one channel.
const rate = 44100

// Event is one sound of a sequence.
type Event struct {
	Section int          // in which it lies, from 0 as in [Sequence.Sections]
	Step    int          // of the grid of that section's phrase, from the start of the section
	Beat    bool         // of a count-in or a click; Sound then has no meaning
	Sound   rhythm.Sound // of a stroke
	Accent  bool         // louder than its neighbours; in a count-in, the first beat of the bar

	role   string // of the section
	sample int    // where it begins; for one of a model answer, the middle of its hands
}

// Events lists the sounds in order of time, at one place a beat before a stroke. The caller owns the
// slice.
func (s *Sequence) Events() []Event {
	var out []Event
	for i, section := range s.sections {
		p := section.Phrase
		// Rounded from the start of the sequence, places do not drift.
		at := func(step int) int { return int(math.Round((section.Start + p.Seconds(step)) * rate)) }
		if section.Role == midiwrite.CountIn || s.click {
			beats := p.Meter().Beats()
			for bar := range section.Bars {
				for beat, step := range p.BeatSteps()[:beats] {
					step += bar * p.BarSteps()
					out = append(out, Event{
						sample: at(step), Section: i, Step: step,
						role: section.Role, Beat: true, Accent: beat == 0,
					})
				}
			}
		}
		if section.Role == midiwrite.Call || section.Role == midiwrite.Answer {
			for _, stroke := range p.Strokes() {
				out = append(out, Event{
					sample: at(stroke.Step), Section: i, Step: stroke.Step, role: section.Role,
					Sound: stroke.Sound, Accent: stroke.Accent,
				})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Event) int { return a.sample - b.sample })
	return out
}

// length is the number of samples of the whole.
func (s *Sequence) length() int { return int(math.Round(s.Seconds() * rate)) }
