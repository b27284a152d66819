package response

import (
	"fmt"
	"math"
)

// beatParts are distances that musicians have a name for, beats.
var beatParts = [...]struct {
	beats float64
	name  string
}{
	{1.0 / 4, "a quarter of a beat"},
	{1.0 / 3, "a third of a beat"},
	{1.0 / 2, "half a beat"},
	{1, "a beat"},
	{2, "two beats"},
}

// nearPart is how far from its name a distance may lie, as a share of it: less than half way from
// a quarter to a third of a beat.
const nearPart = 0.14

// distance says how much too early or late something was: by its name where it is near one, "about
// half a beat", otherwise in seconds.
func distance(seconds, beats float64) string {
	best := -1
	for i, part := range beatParts {
		off := math.Abs(beats - part.beats)
		if off <= nearPart*part.beats && (best < 0 || off < math.Abs(beats-beatParts[best].beats)) {
			best = i
		}
	}
	if best < 0 {
		return fmt.Sprintf("%.2g s", seconds)
	}
	return "about " + beatParts[best].name
}
