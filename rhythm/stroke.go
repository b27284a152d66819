package rhythm

import "unicode"

// Sound is how a stroke is made.
type Sound uint8

// The sounds of a phrase.
const (
	Clap  Sound = iota // hands together
	Stamp              // foot on the floor
	Pat                // hands on the thighs
	Snap               // fingers
)

var soundNames = [...]string{"clap", "stamp", "pat", "snap"}

// String returns "clap", "stamp", "pat" or "snap".
func (s Sound) String() string {
	if int(s) < len(soundNames) {
		return soundNames[s]
	}
	return "unknown sound"
}

const soundLetters = "xspn"

// letter is the letter of the notation: x, s, p or n.
func (s Sound) letter() byte {
	if int(s) < len(soundLetters) {
		return soundLetters[s]
	}
	return '?'
}

// Stroke is one sound of a phrase at its place.
type Stroke struct {
	Step   int   // steps of the phrase's grid from the start of bar 1
	Sound  Sound // how it is made
	Accent bool  // louder than its neighbours
}

// letter is the stroke as the notation writes it, upper case when accented.
func (s Stroke) letter() byte {
	letter := s.Sound.letter()
	if s.Accent {
		return byte(unicode.ToUpper(rune(letter)))
	}
	return letter
}

// strokeOf reads one box. sounded is false for an empty box, ok is false for an unknown character.
func strokeOf(r rune) (stroke Stroke, sounded, ok bool) {
	if r == '.' || r == '-' {
		return Stroke{}, false, true
	}
	lower := unicode.ToLower(r)
	for i := range soundLetters {
		if lower == rune(soundLetters[i]) {
			return Stroke{Sound: Sound(i), Accent: r != lower}, true, true
		}
	}
	return Stroke{}, false, false
}
