// Package sounds makes what is heard in the room, dry: claps and other strokes of people's hands and
// feet, drums, voices, music and noise.
package sounds

// Kind is how a stroke is made by the group, or what the leader plays.
type Kind uint8

// The sounds. The first four are body sounds; the others are for leaders and for drumming.
const (
	Clap   Kind = iota // hands together
	Stamp              // foot on the floor
	Pat                // hands on the thighs
	Snap               // fingers
	Sticks             // two sticks against each other
	Drum               // hand drum
	Bass               // big low drum
)

var soundNames = [...]string{"clap", "stamp", "pat", "snap", "sticks", "drum", "bass"}

// String returns the lower-case English name.
func (s Kind) String() string {
	if int(s) < len(soundNames) {
		return soundNames[s]
	}
	return "unknown sound"
}

// MarshalText writes the name, so that the truth as JSON can be read by people.
func (s Kind) MarshalText() ([]byte, error) { return []byte(s.String()), nil }
