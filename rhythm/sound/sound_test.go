package sound

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"clapladder.example/rhythm/internal/midiwrite"

	"github.com/go-audio/wav"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm"
)

// samples renders the sequence: samples from -1 to 1.
func (s *Sequence) samples() []float32 {
	out := make([]float32, 0, s.length())
	_ = s.render(func(part []float64) error {
		for _, v := range part {
			out = append(out, float32(v))
		}
		return nil
	})
	return out
}

func sequence(t testing.TB, o Options, phrases ...rhythm.Phrase) *Sequence {
	t.Helper()
	s, err := New(phrases, o)
	require.NoError(t, err)
	return s
}

func TestStrokesBeginAtTheirSamples(t *testing.T) {
	got := sequence(t, Options{}, rhythm.MustParse("X . s .", "4/4", 120)).samples()
	require.Len(t, got, 3*2*rate) // bars of 2 s: count-in, call, gap
	for _, at := range []int{22050, 44100, 66150, 88200, 132300} {
		assert.Zero(t, got[at-1], at)
		assert.NotZero(t, got[at], at)
	}
	for _, v := range got[4*rate:] {
		require.Zero(t, v, "a gap is silent")
	}
}

// notated is a random phrase with the seconds of its strokes worked out from the boxes alone: the
// boxes of a beat divide it equally.
func notated(r *rand.Rand) (phrase rhythm.Phrase, seconds []float64) {
	for {
		beats := 2 + r.IntN(3)
		tempo := 40 + float64(r.IntN(16000))/100
		var b strings.Builder
		seconds = nil
		for i := range beats {
			boxes := 1 + r.IntN(6)
			for k := range boxes {
				letter := "xspnXSPN......"[r.IntN(14)]
				b.WriteByte(letter)
				if letter != '.' {
					seconds = append(seconds, 60/tempo*(float64(i)+float64(k)/float64(boxes)))
				}
			}
			b.WriteByte(' ')
		}
		if p, err := rhythm.Parse(b.String(), rhythm.MustParseMeter(fmt.Sprintf("%d/4", beats)),
			tempo); err == nil {
			return p, seconds
		}
	}
}

func TestEveryStrokeIsWithinAMillisecondOfItsNotatedTime(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		p, seconds := notated(r)
		s := sequence(t, Options{Answer: r.IntN(2) == 0, Click: r.IntN(2) == 0}, p)
		bar := float64(p.Meter().Beats()) * 60 / p.Tempo()
		require.InDelta(t, 3*bar, s.Seconds(), 1e-9, "count-in, call and answer are a bar each")
		require.InDelta(t, 3*bar*rate, s.length(), 0.5)
		var call []Event
		for _, e := range s.Events() {
			if e.role == midiwrite.Call && !e.Beat {
				call = append(call, e)
			}
		}
		require.Len(t, call, len(seconds), p.String())
		for i, e := range call {
			require.InDelta(t, bar+seconds[i], float64(e.sample)/rate, 1e-3, p.String())
		}
		if len(seconds) > 1 && !spaced(seconds, 0.35) {
			continue
		}
		rendered := sequence(t, Options{}, p).samples()
		for _, at := range seconds { // where sounds don't overlap, they are seen to begin: 5 ms before there is far less than 5 ms after
			k := int(math.Round((bar + at) * rate))
			assert.Greater(t, energy(rendered[k-44:k+220]), 100*energy(rendered[k-264:k-44]),
				"%s at %g s", p, at)
			assert.Less(t, energy(rendered[k-264:k]), 0.01*energy(rendered[k:k+264]))
		}
	}
}

func spaced(seconds []float64, least float64) bool {
	for i := range seconds[1:] {
		if seconds[i+1]-seconds[i] < least {
			return false
		}
	}
	return true
}

func energy(x []float32) float64 {
	sum := 1e-20
	for _, v := range x {
		sum += float64(v) * float64(v)
	}
	return sum
}

func TestSectionsFollowOneAnotherInWholeBars(t *testing.T) {
	p, q := rhythm.MustParse("x x x x | x . x .", "4/4", 120), rhythm.MustParse("x.. x..", "6/8", 60)
	s := sequence(t, Options{Repeat: 2, Pause: 1}, p, q)
	var got []string
	end := 0.0
	for _, section := range s.Sections() {
		got = append(got, fmt.Sprintf("%s %d %g", section.Role, section.Index, section.Start))
		assert.InDelta(t, end, section.Start, 1e-12)
		end = section.End()
	}
	assert.Equal(t, []string{
		"count-in 0 0", "call 0 2", "gap 0 6", "call 0 10", "gap 0 14",
		"pause 1 18", "call 1 20", "gap 1 22", "call 1 24", "gap 1 26",
	}, got)
	assert.InDelta(t, 28, s.Seconds(), 1e-12)
}

func TestNothingClipsHoweverDense(t *testing.T) {
	dense := rhythm.MustParse(strings.Repeat("SSSSSSSSSSSSSSSS ", 4), "4/4", 400)
	for name, s := range map[string]*Sequence{
		"dense":  sequence(t, Options{Answer: true, Click: true}, dense),
		"usual":  sequence(t, Options{Answer: true}, rhythm.MustParse("X s P n", "4/4", 96)),
		"silent": sequence(t, Options{}, rhythm.MustParse("x . . .", "4/4", 96)),
	} {
		loudest := float32(0)
		for _, v := range s.samples() {
			loudest = max(loudest, v, -v)
		}
		assert.LessOrEqual(t, loudest, float32(peak)+1e-6, name)
		assert.Greater(t, loudest, float32(0.3), name)
	}
}

func TestTheSameSequenceGivesTheSameBytes(t *testing.T) {
	p := rhythm.MustParse("x .x s n | p . X .", "4/4", 104)
	var first, second bytes.Buffer
	for _, b := range []*bytes.Buffer{&first, &second} {
		require.NoError(t, sequence(t, Options{Answer: true, Click: true}, p, p).WriteWAV(b))
	}
	assert.Equal(t, first.Bytes(), second.Bytes())
}

func TestAnotherReaderReadsTheWAVFile(t *testing.T) {
	s := sequence(t, Options{Answer: true}, rhythm.MustParse("x xx . x", "4/4", 132.7))
	var b bytes.Buffer
	require.NoError(t, s.WriteWAV(&b))
	d := wav.NewDecoder(bytes.NewReader(b.Bytes()))
	require.True(t, d.IsValidFile())
	got, err := d.FullPCMBuffer()
	require.NoError(t, err)
	assert.Equal(t, rate, got.Format.SampleRate)
	assert.Equal(t, 1, got.Format.NumChannels)
	assert.Equal(t, 16, got.SourceBitDepth)
	assert.EqualValues(t, 1, d.WavAudioFormat, "linear PCM")
	assert.EqualValues(t, 2*rate, d.AvgBytesPerSec)
	want := s.samples()
	require.Len(t, got.Data, len(want))
	for i, v := range want {
		require.InDelta(t, float64(v)*32767, got.Data[i], 0.51, i)
	}
}

// The layout of a WAV file of linear PCM: RIFF, the bytes that follow, WAVE; fmt of 16 bytes; data,
// its bytes, the samples (Microsoft and IBM 1991, from memory).
func TestTheHeaderCountsItsBytes(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, sequence(t, Options{NoCountIn: true},
		rhythm.MustParse("x .", "2/4", 120)).WriteWAV(&b))
	const samples = 2 * rate
	require.Equal(t, 44+2*samples, b.Len())
	head := b.Bytes()[:44]
	assert.Equal(t, "RIFF", string(head[:4]))
	assert.EqualValues(t, b.Len()-8, binary.LittleEndian.Uint32(head[4:]))
	assert.Equal(t, "WAVEfmt ", string(head[8:16]))
	assert.Equal(t, "data", string(head[36:40]))
	assert.EqualValues(t, 2*samples, binary.LittleEndian.Uint32(head[40:]))
}

func TestNoPauseBeforeTheFirstCall(t *testing.T) {
	p := rhythm.MustParse("x x x x", "4/4", 120)
	assert.Equal(t, midiwrite.Call, sequence(t, Options{NoCountIn: true, Pause: 3}, p, p).Sections()[0].Role)
}

// Hands that clap before the beat are there wherever a block of the mixer ends.
func TestBlocksDoNotCutModelAnswers(t *testing.T) {
	p := rhythm.MustParse("x . . .", "4/4", 60)
	for _, early := range []int{100, 300, 600} { // the answer begins so many samples after a block does
		tempo := 4 * 60 * float64(rate) / float64(6*mixBlock+early)
		got := sequence(t, Options{NoCountIn: true, Answer: true}, p.WithTempo(tempo)).samples()
		at := 6*mixBlock + early
		first := int(math.Round(hands[0].late * rate))
		assert.Zero(t, energy(got[at+first-200:at+first])-1e-20)
		assert.Greater(t, energy(got[at+first:at+first+100]), 1e-4, "%d", early)
	}
}

func TestBlocksDoNotShowInTheSound(t *testing.T) {
	// A stroke at any place sounds as it does at the start of the file.
	p := rhythm.MustParse("x . . .", "4/4", 60)
	alone := voice(rhythm.Clap, leader)
	for _, tempo := range []float64{60, 77.3, 80.7, 81, 81.5} {
		got := sequence(t, Options{NoCountIn: true, Repeat: 2}, p.WithTempo(tempo)).samples()
		at := int(math.Round(8 * 60 / tempo * rate))
		for i, v := range alone {
			require.InDelta(t, usual*v, got[at+i], 1e-6)
		}
	}
}

func TestTheMiddleOfAModelAnswerIsAtItsTime(t *testing.T) {
	sum, squares := 0.0, 0.0
	for _, h := range hands {
		sum += h.late
		squares += h.late * h.late
	}
	assert.InDelta(t, 0, sum, 1e-12)
	assert.InDelta(t, 0.010, math.Sqrt(squares/float64(len(hands))), 0.001)
	got := sequence(t, Options{NoCountIn: true, Answer: true},
		rhythm.MustParse("x . . .", "4/4", 60)).samples()
	assert.NotZero(t, energy(got[4*rate-618:4*rate])-1e-20, "some hands are early")
}

func TestWhatCannotBeRenderedIsAnError(t *testing.T) {
	p := rhythm.MustParse("x x x x", "4/4", 20)
	for want, test := range map[string]struct {
		phrases []rhythm.Phrase
		o       Options
	}{
		"at least one phrase":               {nil, Options{}},
		"phrase 2 is empty":                 {[]rhythm.Phrase{p, {}}, Options{}},
		"can't be called 33 times":          {[]rhythm.Phrase{p}, Options{Repeat: 33}},
		"can't be called -1 times":          {[]rhythm.Phrase{p}, Options{Repeat: -1}},
		"can't last 17 bars":                {[]rhythm.Phrase{p, p}, Options{Pause: 17}},
		"longer than 20 minutes; use fewer": {[]rhythm.Phrase{p, p}, Options{Repeat: 32}},
	} {
		_, err := New(test.phrases, test.o)
		assert.ErrorContains(t, err, want)
	}
	_, err := New([]rhythm.Phrase{p, p}, Options{Repeat: 32})
	long, ok := errors.AsType[*TooLongError](err)
	require.True(t, ok)
	assert.Equal(t, 1, long.Index)
}

type fullWriter struct{}

func (fullWriter) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

func TestAFullDiskIsAnError(t *testing.T) {
	s := sequence(t, Options{}, rhythm.MustParse("x x x x", "4/4", 96))
	assert.ErrorContains(t, s.WriteWAV(fullWriter{}), "writing the sound: no space left")
	assert.ErrorContains(t, s.WriteMIDI(fullWriter{}, ""), "no space left")
}

func BenchmarkWriteWAV(b *testing.B) {
	s := sequence(b, Options{Answer: true, Click: true, Repeat: 32},
		rhythm.MustParse("x xx .x s | n p x x", "4/4", 100))
	b.ReportAllocs()
	for b.Loop() {
		_ = s.WriteWAV(discard{})
	}
	b.ReportMetric(s.Seconds()*float64(b.N)/b.Elapsed().Seconds(), "x-real-time")
}

type discard struct{}

func (discard) Write(p []byte) (int, error) { return len(p), nil }
