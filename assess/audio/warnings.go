package audio

import (
	"fmt"

	"clapladder.example/assess/internal/words"
)

// Warning is something about the recording that its leader should know. Text is one or two plain
// sentences for people: what was found, what it means for the result, and what helps next time.
// Code is fixed and meant for programs:
//
//	silent            nothing but silence
//	quiet             the loudest sound is below -40 dB
//	clipped           flat tops in a tenth of the loud moments
//	dropouts          gaps of exact zeros inside sound
//	overdriven        a limiter or saturation holds loud sounds at one level
//	levelled          a fast or strong gain control evens loud and soft
//	gain-riding       the recorder changes its level slowly
//	dc-offset         a large constant offset was removed
//	dead-channel      a channel was left out
//	inverted-channel  a channel was turned round
//	low-rate          fewer than 16,000 samples a second
//	cut-short         the file ends before its sound does
//	damaged           parts were replaced by silence
type Warning struct {
	Code, Text string
}

// Codes of warnings that are also those of a [Flattening].
const (
	clipped    = "clipped"
	overdriven = "overdriven"
	levelled   = "levelled"
	gainRiding = "gain-riding"
)

// Warnings returns what has been found so far, always in the same order. It is
// complete after Read has returned io.EOF.
func (c *chain) Warnings() []Warning {
	var list []Warning
	add := func(code, text string, args ...any) {
		list = append(list, Warning{code, fmt.Sprintf(text, args...)})
	}
	h := c.health
	switch {
	case h.peak < 1e-4:
		add("silent", "the recording is silent: check that the right microphone was on")
	case h.peak < 0.01:
		add("quiet", "the recording is very quiet: soft claps may be missed; put the phone "+
			"nearer or raise its recording level")
	}
	flat := c.Flattening()
	switch flat.Code {
	case clipped:
		loud := h.loudWindows()
		add(clipped, "%d of %d loud moments are clipped: full and half participation look alike there; "+
			"put the phone further away or lower its recording level", min(h.clipped, loud), loud)
	case overdriven:
		add(overdriven, "too loud for the recorder: it holds %.0f %% of the loud sounds at "+
			"one level, so "+
			"one person and the whole group look alike; put the phone further away, off the table the group "+
			"stands around, or lower its recording level", 100*flat.Severity)
	case levelled:
		add(levelled, "the recorder levels loud and soft (automatic gain, or voice mode), so one person "+
			"and the whole group look alike; switch automatic level and noise suppression off, or choose "+
			"music or high quality in the recorder's settings")
	}
	if g := h.gaps; g.count > 0 {
		add("dropouts", "%s in which the recorder lost the sound, %.0f ms in all: claps inside are missed",
			words.Count(g.count, "gap"), 1000*float64(g.frames)/float64(c.sound.SampleRate))
	}
	if db, ok := c.gain.riding(); ok {
		add(gainRiding, "the recorder turns its level up by about %.0f dB after loud "+
			"moments: loud and soft look more alike than they were; switch automatic level off if it can be",
			db)
	}
	if c.mixer.removed >= 0.02 {
		add("dc-offset", "the recorder adds a constant offset (%.0f %% of full scale), which was "+
			"removed", 100*c.mixer.removed)
	}
	if c.mixer.everDead {
		add("dead-channel", "one channel is silent for at least part of the recording and was "+
			"left out: check cable and microphone")
	}
	if c.mixer.everTurned {
		add("inverted-channel", "one channel has its polarity reversed and was turned round")
	}
	if rate := c.sound.SampleRate; rate < Rate {
		add("low-rate", "recorded at %d samples a second, as telephones do: nothing above %.1f "+
			"kHz is left, so claps are harder to tell from talk; choose a higher quality in the recorder",
			rate, float64(rate)/2000)
	}
	if c.sound.Damage.CutShort {
		add("cut-short", "the file ends in the middle of its sound: what is there was used")
	}
	if n := c.sound.Damage.Concealed; n > 0 {
		add("damaged", "the file is damaged in %s: silence was put there", words.Count(n, "place"))
	}
	return list
}
