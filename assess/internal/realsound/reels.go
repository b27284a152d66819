package realsound

import (
	"hash/fnv"
	"math/rand/v2"
	"regexp"
	"testing"
)

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
	inTurn              // two people strike in turn, as they hammer or chop, in a room
)

// ReelClass is a kind of sound without any call and response.
type ReelClass struct {
	Name string
	path *regexp.Regexp
	of   string // another class, whose files it is made of; then path is nil
	ways []way
}

// ReelClasses are the kinds that reels are made of.
var ReelClasses = []ReelClass{
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
	{Name: "in-turn", of: "knocks", ways: []way{inTurn, inTurn, inTurn, inTurn}},
}

func class(name, path string, ways ...way) ReelClass {
	return ReelClass{Name: name, path: regexp.MustCompile(path), ways: ways}
}

// Ways is in how many ways reels of the class are strung: each comes once in as many numbers.
func (c ReelClass) Ways() int { return len(c.ways) }

// HeldBack are classes of which nothing is tuned on: they are for the figures only.
var HeldBack = []string{"typing", "doors", "loop", "alarm", "dog", "baby"}

// Reel is minutes of one class at [Rate].
type Reel struct {
	Class   string
	Samples []float32
}

// MakeReel strings clips of one class to minutes; false where there are none.
func MakeReel(t testing.TB, l Library, c ReelClass, number int, untouched bool) (Reel, bool) {
	files := l.half(c.Name, untouched)
	if len(files) == 0 {
		return Reel{}, false
	}
	seed := uint64(number)
	if untouched {
		seed += 1000
	}
	h := fnv.New64a()
	h.Write([]byte(c.Name))
	m := maker{t: t, rng: rand.New(rand.NewPCG(seed, h.Sum64())), files: files}
	m.out = make([]float32, int((90+60*m.rng.Float64())*Rate))
	w := c.ways[number%len(c.ways)]
	m.string(w)
	m.finish()
	return Reel{c.Name, m.out}, true
}
