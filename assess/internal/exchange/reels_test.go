package exchange

import (
	"bytes"
	"context"
	"hash/fnv"
	"io"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"clapladder.example/assess/audio"
	_ "clapladder.example/assess/audio/formats"
	"clapladder.example/assess/internal/onset"
)

// soundVariable names an environment variable with folders of recorded sounds, separated as in
// PATH. Nothing of them is kept here: clips of environmental sounds and typing, spoken prompts,
// music on hold, drum loops and single strokes will do, as sample packages hold them. A file
// belongs to the class whose pattern its path fits.
const soundVariable = "SOUND_FOLDERS"

// A way to string clips to minutes.
type way int

const (
	looped   way = iota // one clip over and over
	joined              // clips one after the other
	walked              // single sounds at a walking pace, now and then a stop
	knocked             // single sounds in little groups
	rhythmic            // single sounds as one person plays with them, in made-up rhythms with pauses
	drummed             // a kit of single sounds in a groove
	typed               // single strokes cut from a recording, as somebody types
	beeped              // single sounds evenly, in groups, as an alarm has it
)

// reelClass is a kind of sound without any call and response.
type reelClass struct {
	name string
	path *regexp.Regexp
	ways []way
}

var reelClasses = []reelClass{
	class("typing", `/typing/`, joined, looped, typed, typed),
	class("clock", `/clock-tick`, looped, looped, looped, joined),
	class("dog", `/dog-bark`, looped, joined),
	class("rooster", `/rooster`, joined, looped),
	class("baby", `/baby-cry`, joined, looped),
	class("sneeze", `/person-sneeze`, joined, looped, knocked),
	class("rain", `/rain_`, joined, looped),
	class("fire", `/fire-crackling|/sea-waves`, joined, looped),
	class("engine", `/helicopter|/chainsaw`, joined, looped),
	class("speech", `asterisk/sounds/.*\.(g722|gsm)$`, joined, joined, joined, joined),
	class("music", `asterisk/moh/.*\.wav`, joined, joined),
	class("loop", `sonic-pi.*/loop_`, looped, looped, looped, joined),
	class("drums", `hydrogen/.*(?i)(kick|snare|hat|tom|conga|bongo|djembe)`,
		drummed, drummed, rhythmic, rhythmic),
	class("steps", `footstep`, walked, walked, walked),
	class("doors", `doors/sounds|chest_|perc_door`, knocked, joined),
	class("knocks", `(?i)place_node|woodblock|perc_impact|dig_choppy`, knocked, knocked, rhythmic),
	class("alarm", `elec_(beep|ping|bell|blip|chime|triangle)|perc_bell`, beeped, beeped, looped),
	class("free-clap", `(?i)Millo_MultiLayered2/clap|EE_Clap|HandClap`,
		rhythmic, rhythmic, knocked, beeped),
	class("applause", `applause`, looped),
}

func class(name, path string, ways ...way) reelClass {
	return reelClass{name, regexp.MustCompile(path), ways}
}

// heldBack are classes of which nothing is tuned on: they are for the figures only.
var heldBack = []string{"typing", "doors", "loop", "alarm", "dog", "baby"}

var soundEndings = []string{".wav", ".flac", ".ogg", ".g722"}

// library holds the files found by class.
type library map[string][]string

// findSounds looks for the classes' files; it skips the test where no folder is named.
func findSounds(t testing.TB) library {
	folders := filepath.SplitList(os.Getenv(soundVariable))
	if len(folders) == 0 {
		t.Skip("no folders of recorded sounds are named in " + soundVariable)
	}
	found := library{}
	for _, folder := range folders {
		err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !slices.Contains(soundEndings, filepath.Ext(path)) {
				return err
			}
			for _, c := range reelClasses {
				if c.path.MatchString(path) {
					found[c.name] = append(found[c.name], path)
					break
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, files := range found {
		slices.Sort(files)
	}
	return found
}

// half are the files of a class that belong to the tuning half or to the untouched one; with few
// files both have all.
func (l library) half(class string, untouched bool) []string {
	var out []string
	for _, f := range l[class] {
		h := fnv.New32a()
		h.Write([]byte(f))
		if (h.Sum32()>>3)%2 == 1 == untouched {
			out = append(out, f)
		}
	}
	if len(out) < 2 {
		return l[class]
	}
	return out
}

const rate = onset.SampleRate

var decoded = map[string][]float32{}

// decode reads a file as mono samples at the rate of the analysis, loudest sample 1.
func decode(t testing.TB, path string) []float32 {
	if x, ok := decoded[path]; ok {
		return x
	}
	var in io.Reader
	if filepath.Ext(path) == ".g722" {
		wav, err := exec.Command("ffmpeg", "-v", "error", "-f", "g722", "-i", path, "-f", "wav", "-").Output()
		if err != nil {
			t.Skipf("%s: %v", path, err)
		}
		in = bytes.NewReader(wav)
	} else {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		in = bytes.NewReader(data)
	}
	stream, err := audio.Open(context.Background(), in, audio.Options{})
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	defer stream.Close()
	var x []float32
	buffer := make([]float32, 8192)
	for {
		n, err := stream.Read(buffer)
		x = append(x, buffer[:n]...)
		if err != nil {
			break
		}
	}
	top := float32(1e-9)
	for _, v := range x {
		top = max(top, max(v, -v))
	}
	for i := range x {
		x[i] /= top
	}
	if len(decoded) < 4000 {
		decoded[path] = x
	}
	return x
}

// reel is minutes of one class.
type reel struct {
	class   string
	way     way
	samples []float32
}

// makeReel strings clips of one class to minutes.
func makeReel(t testing.TB, l library, c reelClass, number int, untouched bool) (reel, bool) {
	files := l.half(c.name, untouched)
	if len(files) == 0 {
		return reel{}, false
	}
	seed := uint64(number)
	if untouched {
		seed += 1000
	}
	h := fnv.New64a()
	h.Write([]byte(c.name))
	m := maker{t: t, rng: rand.New(rand.NewPCG(seed, h.Sum64())), files: files}
	m.out = make([]float32, int((90+60*m.rng.Float64())*rate))
	w := c.ways[number%len(c.ways)]
	m.string(w)
	m.finish()
	return reel{c.name, w, m.out}, true
}

type maker struct {
	t     testing.TB
	rng   *rand.Rand
	files []string
	out   []float32
}

func (m *maker) pick() []float32 { return decode(m.t, m.files[m.rng.IntN(len(m.files))]) }

// add mixes a sound in at a time in seconds.
func (m *maker) add(x []float32, at, db float64) {
	g := float32(math.Pow(10, db/20))
	start := int(at * rate)
	for i, v := range x {
		if k := start + i; k >= 0 && k < len(m.out) {
			m.out[k] += g * v
		}
	}
}

func (m *maker) seconds() float64 { return float64(len(m.out)) / rate }

func (m *maker) between(a, b float64) float64 { return a + (b-a)*m.rng.Float64() }

// short is a sound cut to its first part with a fade.
func short(x []float32, seconds float64) []float32 {
	start := 0
	for start < len(x) && x[start] < 0.05 && x[start] > -0.05 {
		start++
	}
	start = max(0, start-80)
	x = slices.Clone(x[start:min(len(x), start+int(seconds*rate))])
	fade := len(x) / 4
	for i := range fade {
		x[len(x)-1-i] *= float32(i) / float32(fade)
	}
	return x
}

func (m *maker) string(w way) {
	end := m.seconds()
	switch w {
	case looped:
		x := m.pick()
		for at := 0.0; at < end; at += float64(len(x)) / rate {
			m.add(x, at, 0)
		}
	case joined:
		for at := 0.0; at < end; {
			x := m.pick()
			m.add(x, at, m.between(-8, 0))
			at += float64(len(x))/rate + m.rng.ExpFloat64()*0.3
		}
	case walked:
		sounds := m.kit(4, 0.4)
		for at := 0.5; at < end; {
			pace := m.between(0.42, 0.65)
			for range 10 + m.rng.IntN(40) {
				m.add(sounds[m.rng.IntN(len(sounds))], at, 2*m.rng.NormFloat64())
				at += pace * (1 + 0.04*m.rng.NormFloat64())
			}
			at += m.rng.ExpFloat64() * 2
		}
	case knocked:
		for at := 0.5; at < end; {
			x := short(m.pick(), 0.5)
			gap := m.between(0.14, 0.6)
			for range 2 + m.rng.IntN(6) {
				m.add(x, at, 1.5*m.rng.NormFloat64())
				at += gap * (1 + 0.06*m.rng.NormFloat64())
			}
			at += 0.6 + m.rng.ExpFloat64()*2
		}
	case rhythmic:
		sounds := m.kit(2, 0.4)
		for at := 0.5; at < end; {
			at = m.phrase(sounds, at, m.madeUp(), m.between(0.16, 0.3)) + m.between(0.3, 2.5)
		}
	case drummed:
		m.groove()
	case typed:
		m.typing()
	case beeped:
		x := short(m.pick(), 0.3)
		gap, group, pause := m.between(0.12, 0.6), 1+m.rng.IntN(5), m.between(0.4, 1.5)
		for at := 0.5; at < end; at += pause {
			for range group {
				m.add(x, at, 0.3*m.rng.NormFloat64())
				at += gap
			}
		}
	}
}

// kit is a few sounds of the class.
func (m *maker) kit(n int, seconds float64) [][]float32 {
	var out [][]float32
	for range n {
		out = append(out, short(m.pick(), seconds))
	}
	return out
}

// madeUp is a rhythm of one or two bars in eighths or sixteenths.
func (m *maker) madeUp() []bool {
	n := []int{8, 8, 16, 12}[m.rng.IntN(4)]
	boxes := make([]bool, n)
	for i := range boxes {
		chance := []float64{0.85, 0.25, 0.55, 0.25}[i%4]
		boxes[i] = m.rng.Float64() < chance
	}
	boxes[0] = true
	return boxes
}

func (m *maker) phrase(sounds [][]float32, at float64, boxes []bool, step float64) float64 {
	for i, b := range boxes {
		if b {
			x := sounds[0]
			if i%4 != 0 && len(sounds) > 1 && m.rng.IntN(4) == 0 {
				x = sounds[1]
			}
			m.add(x, at+0.008*m.rng.NormFloat64(), 1.5*m.rng.NormFloat64())
		}
		at += step
	}
	return at
}

// groove plays patterns of a bar for minutes, changing now and then.
func (m *maker) groove() {
	sounds := m.kit(4, 0.5)
	step := m.between(0.11, 0.2)
	var patterns [][]bool
	for bar, at := 0, 0.3; at < m.seconds(); bar++ {
		if bar%8 == 0 {
			patterns = nil
			for range sounds {
				patterns = append(patterns, m.madeUp())
			}
		}
		for k, x := range sounds {
			for i, b := range patterns[k] {
				if b && i < 16 {
					m.add(x, at+float64(i)*step+0.006*m.rng.NormFloat64(), m.rng.NormFloat64()-3*float64(k))
				}
			}
		}
		at += 16 * step
	}
}

// typing cuts strokes out of recordings of typing and types words with them.
func (m *maker) typing() {
	var strokes [][]float32
	for len(strokes) < 60 {
		x := m.pick()
		top := 0
		from := m.rng.IntN(max(1, len(x)-rate/2))
		for i := from; i < min(len(x), from+rate/2); i++ {
			if math.Abs(float64(x[i])) > math.Abs(float64(x[top])) || top == 0 {
				top = i
			}
		}
		strokes = append(strokes, short(x[max(0, top-400):min(len(x), top+2000)], 0.15))
	}
	for at := 0.5; at < m.seconds(); {
		for range 2 + m.rng.IntN(8) {
			m.add(strokes[m.rng.IntN(len(strokes))], at, 2*m.rng.NormFloat64())
			at += max(0.06, 0.17*math.Exp(0.4*m.rng.NormFloat64()))
		}
		at += m.rng.ExpFloat64() * 0.4
		if m.rng.IntN(12) == 0 {
			at += m.rng.ExpFloat64() * 3
		}
	}
}

// finish adds the noise of a quiet room and sets the level.
func (m *maker) finish() {
	top := 1e-9
	for _, v := range m.out {
		top = max(top, math.Abs(float64(v)))
	}
	gain := m.between(0.2, 0.9) / top
	noise := math.Pow(10, m.between(-70, -50)/20)
	low := 0.0
	for i := range m.out {
		low += 0.2 * (m.rng.NormFloat64() - low)
		m.out[i] = float32(gain*float64(m.out[i]) + noise*low)
	}
}
