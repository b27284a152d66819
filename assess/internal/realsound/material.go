package realsound

import (
	"math"
	"math/rand/v2"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// What warm-ups are built from, by path.
var (
	clapFiles  = regexp.MustCompile(`/claps/|(?i)clap[^/]*\.(wav|flac)$`)
	roomFiles  = regexp.MustCompile(`/rooms/|(?i)stairwell\.|impulse_big_hall|IRMediumHall|demo-reverbs/`)
	talkFiles  = regexp.MustCompile(`/speech/|asterisk/sounds/.*\.(g722|gsm)$`)
	noiseFiles = regexp.MustCompile(`rain_|sea-waves|fire-crackling|helicopter|chainsaw`)
)

// sources groups files by where they come from, in order of their names.
func (l Library) sources(files *regexp.Regexp, of func(path string) string) [][]string {
	var names []string
	by := map[string][]string{}
	for _, f := range l[""] {
		if files.MatchString(filepath.ToSlash(f)) {
			name := of(f)
			if by[name] == nil {
				names = append(names, name)
			}
			by[name] = append(by[name], f)
		}
	}
	slices.Sort(names)
	var out [][]string
	for _, name := range names {
		out = append(out, by[name])
	}
	return out
}

// every is every second source, so that a source is in one half as a whole. A single one is in both.
func every[T any](sources []T, untouched bool) (out []T) {
	for i, s := range sources {
		if len(sources) < 2 || i%2 == 1 == untouched {
			out = append(out, s)
		}
	}
	return out
}

// Hands are single claps by source, a folder of samples or a recording: each from its start to a
// quarter of a second later. Sources without a clap that is one short stroke are left out.
func (l Library) Hands(t testing.TB, untouched bool) (hands [][][]float64) {
	of := func(path string) string {
		if strings.Contains(filepath.ToSlash(path), "/claps/") {
			return path
		}
		return filepath.Dir(path)
	}
	for _, files := range l.sources(clapFiles, of) {
		var own [][]float64
		for _, f := range files {
			own = append(own, Claps(Decode(t, f))...)
		}
		if len(own) > 0 {
			hands = append(hands, own)
		}
	}
	return every(hands, untouched)
}

// Rooms are impulse responses from the first arrival on, at most three seconds. Channels of one
// measurement, told by a last L or R, are one source. Responses without a clear first arrival are left
// out: nobody could say when a stroke in them was heard.
func (l Library) Rooms(t testing.TB, untouched bool) (rooms [][]float64) {
	of := func(path string) string {
		return strings.TrimRight(strings.TrimSuffix(path, filepath.Ext(path)), "LR-_")
	}
	for _, files := range every(l.sources(roomFiles, of), untouched) {
		for _, f := range files {
			if room := response(Decode(t, f)); room != nil {
				rooms = append(rooms, room)
			}
		}
	}
	return rooms
}

// response cuts an impulse response to its first arrival and what comes after; nil where the first 3 ms
// are more than 9 dB below the rest.
func response(x []float32) []float64 {
	start := slices.IndexFunc(x, func(v float32) bool { return v > 0.25 || v < -0.25 }) // of the peak
	if start < 0 {
		return nil
	}
	x = x[start:min(len(x), start+3*Rate)]
	first, rest := 0.0, 1e-12
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = float64(v)
		if i < 3*Rate/1000 {
			first += out[i] * out[i]
		} else {
			rest += out[i] * out[i]
		}
	}
	if 10*math.Log10(first/rest) < -9 {
		return nil
	}
	return out
}

// Babble is half a minute of several people talking, each a voice of the half; nil where there is no
// speech. A folder's parent is a speaker, such as the language of a set of prompts.
func (l Library) Babble(t testing.TB, voices int, untouched bool, rng *rand.Rand) []float32 {
	of := func(path string) string {
		if _, after, ok := strings.Cut(path, "/sounds/"); ok {
			speaker, _, _ := strings.Cut(after, "/")
			return speaker
		}
		return filepath.Dir(path)
	}
	const prompts = 12 // of a speaker: each takes a moment to decode
	speakers := every(l.sources(talkFiles, of), untouched)
	if len(speakers) == 0 {
		return nil
	}
	out := make([]float32, 30*Rate)
	for v := range voices {
		files := speakers[v%len(speakers)]
		files = files[:min(len(files), prompts)] // in order of names: what they say matters little
		gain := float32(math.Exp(0.3 * rng.NormFloat64()))
		for at := -rng.IntN(2 * Rate); at < len(out); {
			x := Decode(t, files[rng.IntN(len(files))])
			for i, s := range x {
				if k := at + i; k >= 0 && k < len(out) {
					out[k] += gain * s
				}
			}
			at += len(x) + int(0.3*Rate*rng.ExpFloat64())
		}
	}
	return out
}

// Noise is one clip of steady noise; nil where there is none. Clips of one recording, told by a last
// letter, are one source.
func (l Library) Noise(t testing.TB, untouched bool, rng *rand.Rand) []float32 {
	of := func(path string) string {
		name := filepath.Base(path)
		return name[:max(0, strings.LastIndex(name, "-"))]
	}
	found := every(l.sources(noiseFiles, of), untouched)
	if len(found) == 0 {
		return nil
	}
	files := found[rng.IntN(len(found))]
	return Decode(t, files[0])
}

// Claps cuts single strokes out of a recording: each starts where its square above 1 kHz first reaches
// a hundredth of its largest, after 80 ms of less than that, and is one stroke: 10 ms later it stays 10
// dB below its loudest 2 ms. They end after a quarter of a second or before the next.
func Claps(x []float32) (claps [][]float64) {
	band := make([]float64, len(x))
	step := 1 - math.Exp(-2*math.Pi*1000/float64(Rate))
	low, lower := 0.0, 0.0
	most := 0.0
	for i, v := range x {
		low += step * (float64(v) - low)
		high := float64(v) - low
		lower += step * (high - lower)
		band[i] = (high - lower) * (high - lower)
		most = math.Max(most, band[i])
	}
	const before, longest, frame = 8 * Rate / 100, Rate / 4, Rate / 500
	for i, quiet := 0, before; i < len(x); i++ {
		if band[i] < 0.01*most {
			quiet++
			continue
		}
		if quiet >= before && len(claps) < 60 {
			end := i + frame
			for still := 0; end < min(len(x), i+longest) && still < before; end++ {
				if still++; band[end] >= 0.01*most {
					still = 0
				}
			}
			if c := cut(x, band, i, end); c != nil {
				claps = append(claps, c)
			}
		}
		quiet = 0
	}
	return claps
}

// cut is the stroke between two samples, faded at its end; nil if it is more than one.
func cut(x []float32, band []float64, from, to int) []float64 {
	const frame, stroke = Rate / 500, Rate / 100
	early, late := 0.0, 0.0
	for i := from; i+frame <= to; i += frame {
		sum := 0.0
		for _, v := range band[i : i+frame] {
			sum += v
		}
		if i-from < stroke {
			early = math.Max(early, sum)
		} else {
			late = math.Max(late, sum)
		}
	}
	if 10*late > early || to-from < stroke {
		return nil
	}
	out := make([]float64, to-from)
	fade := min(len(out)/3, Rate/50)
	for i := range out {
		out[i] = float64(x[from+i])
		if left := len(out) - i; left < fade {
			out[i] *= float64(left) / float64(fade)
		}
	}
	return out
}
