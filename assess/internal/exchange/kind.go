package exchange

import "clapladder.example/assess/internal/onset"

// Sound is what a recording without call and response sounds like, roughly.
type Sound string

// The kinds of sound that are told apart.
const (
	Little    Sound = "little"     // hardly anything that could be a stroke
	OnePerson Sound = "one-person" // strokes of one source, as one person claps freely or practises
	Ticking   Sound = "ticking"    // strokes of one source at even gaps, as of a clock or an alarm
	Knocking  Sound = "knocking"   // single sharp sounds in no order: typing, knocks, hammers, steps
	Speech    Sound = "speech"     // mostly talk
	Music     Sound = "music"      // music or drums: strokes of several sources in a pulse
	Noise     Sound = "noise"      // steady or swelling noise: rain, engines, applause
	Other     Sound = "other"      // none of these clearly
	TooFew    Sound = "too-few"    // it may be call and response, but there are too few rounds to tell
)

// Kind says what a recording sounds like that holds no call and response. The limits were set on
// the tuning half of the recorded reels, see BenchmarkReels.
func Kind(a *onset.Analysis) Sound { return describe(a).kind() }

func (d description) kind() Sound {
	steady := d.Rate < 0.35 && d.Crest < 25 || d.Crest < 22 && d.Sharp < 0.55 && d.LowShare < 9 && d.Rate < 1
	oneSource := d.Level < 5 && d.Colour < 0.3 && d.Thump < 6
	tonal := d.LowShare > 9 && d.Sharp < 0.6 && d.Dense > 0.14 && d.Silence < 0.45
	single := d.Sharp > 0.8 && d.Rate > 0.6 && d.Rate < 2 && d.Crest > 25 && d.Periodic < 0.25
	changing := d.Level > 6 && d.Colour > 0.12 && d.Periodic < 0.2
	switch {
	case steady:
		return Noise
	case d.Rate < 0.2:
		return Little
	case oneSource && d.Periodic > 0.45 && (d.Even > 0.35 || d.Periodic > 0.7):
		return Ticking
	case d.Level < 2.4 && d.Colour < 0.05 && d.Dense > 0.3 && d.Sharp > 0.6:
		return OnePerson
	case d.Rate > 2.4 && d.Periodic > 0.3, tonal:
		return Music
	case changing && d.Dense < 0.16 && d.Modulated > 0.28 && d.Silence < 0.6:
		return Speech
	case d.Dense > 0.2 && d.Silence > 0.38 && d.Rate > 0.5, single:
		return Knocking
	}
	return Other
}
