package onset_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
	"clapladder.example/assess/internal/onset"
)

// Recorded sounds are taken from sample packages of Debian where they are installed; see
// testdata/README.md. Nothing of them is kept here.
var sampleFolders = []string{
	"/usr/share/hydrogen/data/drumkits", "/usr/share/lmms/samples", "/usr/share/sonic-pi/samples",
	"/usr/local/share/hydrogen/data/drumkits",
}

// samplesVariable names an environment variable with other folders, separated as in PATH.
const samplesVariable = "DRUM_SAMPLES"

const howToGetSamples = "no recorded claps here: apt install hydrogen-data hydrogen-drumkits " +
	"lmms-common sonic-pi-samples, or name folders of one-shot samples in " + samplesVariable

// The kinds of recorded sounds.
const (
	clapKind     = "clap"           // one stroke of hands
	longClapKind = "long clap"      // several strokes or a long tail, as drum machines have them
	snapKind     = "finger snap"    //
	stickKind    = "stick and wood" // with rims of drums and claves
	snareKind    = "snare drum"     //
	kickKind     = "bass drum"      //
	handKind     = "hand drum"      // bongo, conga, cajon, djembe
)

// kindNames tell kinds by the file name in small letters; the first that fits counts.
var kindNames = []struct {
	kind string
	name *regexp.Regexp
}{
	{clapKind, regexp.MustCompile(`clap`)},
	{snapKind, regexp.MustCompile(`fingersnap|perc_snap|^snap`)},
	{stickKind, regexp.MustCompile(`stick|clave|wood-?block|wood[\d._]|(^|[^t])rim`)},
	{snareKind, regexp.MustCompile(`snare|^sd?n?_`)},
	{kickKind, regexp.MustCompile(`kick|bassdrum|^bd_`)},
	{handKind, regexp.MustCompile(`bongo|conga|cajon|djembe`)},
}

// kindOf is the kind of sound that a file name promises, or "".
func kindOf(path string) string {
	name := strings.ToLower(filepath.Base(path))
	if !slices.Contains([]string{".wav", ".flac", ".ogg", ".aif", ".aiff"}, filepath.Ext(name)) {
		return ""
	}
	for _, k := range kindNames {
		if k.name.MatchString(name) {
			return k.kind
		}
	}
	return ""
}

// oneShot is a recorded sound from just before its start to 0.6 s after, of unit energy.
type oneShot struct {
	name    string
	kind    string
	samples []float64 // at [onset.SampleRate]
	start   float64   // seconds from the first sample
}

const (
	beforeStart = 0.005 // seconds kept before the start
	afterStart  = 0.6   // and after it
	fadeOut     = 0.03  // at the end of what was cut

	startShare = 0.01 // of the largest square of the signal in the clap band, −20 dB: there a sound starts
	longest    = 0.1  // seconds from the start to the centre of its energy; more is a loop
)

// clapBand leaves what is above 1 kHz: two one-pole filters, each followed by what it takes away.
// They pass the first sample of a rise at once, so they delay no start.
func clapBand(samples []float64) []float64 {
	out := slices.Clone(samples)
	step := 1 - math.Exp(-2*math.Pi*1000/onset.SampleRate)
	for range 2 {
		low := 0.0
		for i, v := range out {
			low += step * (v - low)
			out[i] = v - low
		}
	}
	return out
}

// startOf is the sample where a sound starts: the first whose square in the clap band reaches
// startShare of the largest. band is the sound from there on in that band.
func startOf(samples []float64) (start int, band []float64) {
	band = clapBand(samples)
	peak := 0.0
	for _, v := range band {
		peak = math.Max(peak, v*v)
	}
	start = slices.IndexFunc(band, func(v float64) bool { return v*v > 0 && v*v >= startShare*peak })
	if start < 0 {
		return 0, nil
	}
	return start, band[start:]
}

// centreOf is the centre of energy of a sound in seconds from its first sample.
func centreOf(band []float64) float64 {
	energy, moment := 0.0, 0.0
	for i, v := range band {
		energy += v * v
		moment += v * v * float64(i)
	}
	return moment / math.Max(energy, 1e-30) / onset.SampleRate
}

// drawnOut says whether a clap is several strokes or has a long tail: later than 10 ms after its
// start, when one stroke has spent nine tenths of its energy, it is still or again loud (within 10
// dB of its loudest 2 ms).
func drawnOut(band []float64) bool {
	const frame, stroke = onset.SampleRate / 500, onset.SampleRate / 100
	early, late := 0.0, 0.0
	for i := 0; i+frame <= len(band); i += frame {
		power := 0.0
		for _, v := range band[i : i+frame] {
			power += v * v
		}
		if i < stroke {
			early = math.Max(early, power)
		} else {
			late = math.Max(late, power)
		}
	}
	return 10*late > math.Max(early, late)
}

// newOneShot cuts a decoded sound; false where it is silent or not one sound.
func newOneShot(name, kind string, samples []float64) (oneShot, bool) {
	start, band := startOf(samples)
	from := max(0, start-int(beforeStart*onset.SampleRate))
	to := min(len(samples), start+int(afterStart*onset.SampleRate))
	cut := slices.Clone(samples[from:to])
	fade := min(len(cut)/2, int(fadeOut*onset.SampleRate))
	energy := 0.0
	for i := range cut {
		if left := len(cut) - i; left < fade && to < len(samples) {
			cut[i] *= float64(left) / float64(fade)
		}
		energy += cut[i] * cut[i]
	}
	if energy < 1e-9 || centreOf(band) > longest {
		return oneShot{}, false
	}
	for i := range cut {
		cut[i] /= math.Sqrt(energy)
	}
	if kind == clapKind && drawnOut(band) {
		kind = longClapKind
	}
	return oneShot{name, kind, cut, float64(start-from) / onset.SampleRate}, true
}

// sameAs tells layers of strength that are one recording at several levels.
func (s oneShot) sameAs(o oneShot) bool {
	sum := 0.0
	for i := range min(len(s.samples), len(o.samples)) {
		sum += s.samples[i] * o.samples[i]
	}
	return sum > 0.995 // both have unit energy
}

// oneShots finds the recorded sounds installed here whose names promise one of the kinds, each
// once, in order of folders and names.
func oneShots(tb testing.TB, kinds ...string) []oneShot {
	tb.Helper()
	folders := sampleFolders
	if list := os.Getenv(samplesVariable); list != "" {
		folders = filepath.SplitList(list)
	}
	var out []oneShot
	for _, folder := range folders {
		err := filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
			if errors.Is(err, fs.ErrNotExist) {
				return nil
			}
			if err != nil || entry.IsDir() || !slices.Contains(kinds, kindOf(path)) {
				return err
			}
			samples, err := decoded(path)
			if err != nil {
				tb.Logf("%s is left out: %v", path, err)
				return nil
			}
			s, ok := newOneShot(path, kindOf(path), samples)
			if ok && !slices.ContainsFunc(out, s.sameAs) {
				out = append(out, s)
			}
			return nil
		})
		require.NoError(tb, err)
	}
	if len(ofKind(out, clapKind)) == 0 {
		tb.Skip(howToGetSamples)
	}
	return out
}

func decoded(path string) ([]float64, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	o := audio.Options{FFmpeg: audio.NoFFmpeg}
	stream, err := audio.Open(context.Background(), bytes.NewReader(data), o)
	if err != nil {
		return nil, err
	}
	defer stream.Close()
	var out []float64
	part := make([]float32, 4096)
	for {
		n, err := stream.Read(part)
		for _, v := range part[:n] {
			out = append(out, float64(v))
		}
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, err
		}
	}
}

func ofKind(all []oneShot, kind string) (out []oneShot) {
	for _, s := range all {
		if s.kind == kind {
			out = append(out, s)
		}
	}
	return out
}

func TestKindsOfRecordedSoundsAreToldByFileName(t *testing.T) {
	for name, kind := range map[string]string{
		"Kit One/HandClap-Hard.wav": clapKind, "clap02.ogg": clapKind, "clap.txt": "", "applause.ogg": "",
		"Fingersnap-Soft.wav": snapKind, "snare-snappy.wav": snareKind, "sn_01.flac": snareKind,
		"SideStick-Med.wav": stickKind,
		"nasty_rim01.ogg":   stickKind, "elec_wood.flac": stickKind, "WoodBlock-Hard.wav": stickKind,
		"bass_woodsy_c.flac": "", "trimo-c3.wav": "", "Rimshot.AIFF": stickKind, "bd_haus.flac": kickKind,
		"CajonSlaps-Soft.wav": handKind, "clap/hihat.wav": "",
	} {
		assert.Equal(t, kind, kindOf(name), name)
	}
}

func TestRecordedSoundStartsWhereItsEnergyDoes(t *testing.T) {
	h := newHall(1, 0, 1)
	h.clap(0.3, 0.5)
	samples := make([]float64, len(h.samples))
	for i, v := range h.samples {
		samples[i] = float64(v)
	}
	s, ok := newOneShot("one", clapKind, samples)
	require.True(t, ok)
	assert.Equal(t, clapKind, s.kind)
	assert.InDelta(t, beforeStart, s.start, 1e-9)
	start, _ := startOf(samples)
	assert.InDelta(t, 0.3*onset.SampleRate, start, 8)
	for i, v := range samples[:12000] { // three louder strokes follow, 15 ms apart
		for k := 1; k <= 3; k++ {
			h.samples[i+240*k] += float32(3 * v)
		}
	}
	for i, v := range h.samples {
		samples[i] = float64(v)
	}
	layers, ok := newOneShot("four", clapKind, samples)
	require.True(t, ok)
	assert.Equal(t, longClapKind, layers.kind)
	start, _ = startOf(samples)
	assert.InDelta(t, 0.3*onset.SampleRate, start, 8)
	assert.True(t, s.sameAs(s))
	assert.False(t, s.sameAs(layers))
	_, ok = newOneShot("silence", clapKind, make([]float64, 100))
	assert.False(t, ok)
	_, ok = newOneShot("nothing", clapKind, nil)
	assert.False(t, ok)
}
