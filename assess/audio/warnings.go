package audio

import (
	"fmt"

	"clapladder.example/assess/internal/words"
)

// Warning is something about the recording that its leader should know. Code is
// fixed and meant for programs, Text for people: what was found, what it means
// for the result, and what helps next time.
type Warning struct {
	Code string // one of those below
	Text string // one or two plain sentences
}

// The codes of [Warning].
const (
	WarnSilent      = "silent"           // nothing but silence
	WarnQuiet       = "quiet"            // the loudest sound is below -40 dB
	WarnClipped     = "clipped"          // flat tops in a tenth of the loud moments
	WarnDropouts    = "dropouts"         // gaps of exact zeros inside sound
	WarnOverdriven  = "overdriven"       // a limiter or saturation holds loud sounds at one level
	WarnLevelled    = "levelled"         // a fast or strong gain control evens loud and soft
	WarnGainRiding  = "gain-riding"      // the recorder changes its level slowly
	WarnOffset      = "dc-offset"        // a large constant offset was removed
	WarnDeadChannel = "dead-channel"     // a channel was left out
	WarnInverted    = "inverted-channel" // a channel was turned round
	WarnLowRate     = "low-rate"         // fewer than 16,000 samples a second
	WarnCutShort    = "cut-short"        // the file ends before its sound does
	WarnDamaged     = "damaged"          // parts were replaced by silence
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
		add(WarnSilent, "the recording is silent: check that the right microphone was on")
	case h.peak < 0.01:
		add(WarnQuiet, "the recording is very quiet: soft claps may be missed; put the phone "+
			"nearer or raise its recording level")
	}
	flat := c.Flattening()
	switch flat.Kind {
	case Clipped:
		loud := h.loudWindows()
		add(WarnClipped, "%d of %d loud moments are clipped: full and half participation look alike there; "+
			"put the phone further away or lower its recording level", min(h.clipped, loud), loud)
	case Overdriven:
		add(WarnOverdriven, "too loud for the recorder: it holds %.0f %% of the loud sounds at "+
			"one level, so "+
			"one person and the whole group look alike; put the phone further away, off the table the group "+
			"stands around, or lower its recording level", 100*flat.Severity)
	case Levelled:
		add(WarnLevelled, "the recorder levels loud and soft (automatic gain, or voice mode), so one person "+
			"and the whole group look alike; switch automatic level and noise suppression off, or choose "+
			"music or high quality in the recorder's settings")
	}
	if g := h.gaps; g.count > 0 {
		add(WarnDropouts, "%s in which the recorder lost the sound, %.0f ms in all: claps inside are missed",
			words.Count(g.count, "gap"), 1000*float64(g.frames)/float64(c.sound.SampleRate))
	}
	if db, ok := c.gain.riding(); ok {
		add(WarnGainRiding, "the recorder turns its level up by about %.0f dB after loud "+
			"moments: loud and soft look more alike than they were; switch automatic level off if it can be",
			db)
	}
	if c.mixer.removed >= 0.02 {
		add(WarnOffset, "the recorder adds a constant offset (%.0f %% of full scale), which was "+
			"removed", 100*c.mixer.removed)
	}
	if c.mixer.everDead {
		add(WarnDeadChannel, "one channel is silent for at least part of the recording and was "+
			"left out: check cable and microphone")
	}
	if c.mixer.everTurned {
		add(WarnInverted, "one channel has its polarity reversed and was turned round")
	}
	if rate := c.sound.SampleRate; rate < Rate {
		add(WarnLowRate, "recorded at %d samples a second, as telephones do: nothing above %.1f "+
			"kHz is left, so claps are harder to tell from talk; choose a higher quality in the recorder",
			rate, float64(rate)/2000)
	}
	if c.sound.Damage.CutShort {
		add(WarnCutShort, "the file ends in the middle of its sound: what is there was used")
	}
	if n := c.sound.Damage.Concealed; n > 0 {
		add(WarnDamaged, "the file is damaged in %s: silence was put there", words.Count(n, "place"))
	}
	return list
}
