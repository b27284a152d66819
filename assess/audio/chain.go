package audio

import (
	"fmt"
	"math"
	"time"

	"clapladder.example/assess/audio/internal/codec"
)

// chain turns frames of a recording into mono samples at [Rate] and watches what is wrong with it.
type chain struct {
	sound    *codec.Sound
	most     int64 // frames
	frames   int64
	mixer    *mixer
	resample *resampler
	health   *health
	gain     gainWatch
	ducking  duckWatch
	mono     []float32
	out      []float32 // what the last block gave
}

func newChain(s *codec.Sound, opts Options) chain {
	return chain{
		sound:    s,
		most:     int64(math.Ceil(opts.MaxDuration.Seconds() * float64(s.SampleRate))),
		mixer:    newMixer(s.SampleRate, s.Channels),
		resample: newResampler(s.SampleRate),
		health:   newHealth(s),
	}
}

// take puts what the next block gives into out. The block is from mixer.block, cut short only where
// end, what comes after it, is not nil. It returns end, or that there are too many frames.
func (c *chain) take(block []float32, end error) error {
	n := len(block) / c.sound.Channels
	c.frames += int64(n)
	if c.frames > c.most {
		n -= int(min(int64(n), c.frames-c.most))
		end = &Error{
			Kind: codec.KindLimit, Format: c.sound.Format, Limit: "max-duration",
			Message: "the recording is longer than " + hours(c.most, c.sound.SampleRate),
			Advice:  "cut it, or raise the limit (max-duration)",
		}
	}
	block = block[:n*c.sound.Channels]
	c.health.observe(block)
	c.mono = c.mixer.push(c.mono[:0], block)
	if end != nil {
		c.mono = c.mixer.finish(c.mono)
	}
	c.out = c.resample.push(c.out[:0], c.mono)
	if end != nil {
		c.out = c.resample.finish(c.out)
	}
	c.gain.observe(c.out)
	c.ducking.observe(c.out)
	return end
}

// nothing explains a recording without a sample.
func (c *chain) nothing() error {
	if c.sound.Damage.Concealed > 0 {
		return codec.Malformed(c.sound.Format,
			"this %s file is damaged: nothing in it can be decoded", codec.DisplayName(c.sound.Format))
	}
	return &Error{
		Kind: codec.KindEmpty, Format: c.sound.Format, Message: "this recording holds no sound",
		Advice: "check that the recorder was running",
	}
}

// Info describes the recording; see [Info] for what is known when.
func (c *chain) Info() Info {
	info := c.sound.Info
	info.Duration = time.Duration(math.Round(float64(c.frames) / float64(info.SampleRate) *
		float64(time.Second)))
	return info
}

func hours(frames int64, rate int) string {
	d := time.Duration(float64(frames) / float64(rate) * float64(time.Second)).Round(time.Second)
	switch {
	case d >= time.Hour && d%time.Hour == 0:
		return fmt.Sprintf("%d h", d/time.Hour)
	case d >= time.Minute && d%time.Minute == 0:
		return fmt.Sprintf("%d min", d/time.Minute)
	}
	return d.String()
}
