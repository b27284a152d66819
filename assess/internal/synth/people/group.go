package people

// Mix says how differently the people of a group do.
type Mix uint8

// The mixes. Alike has an SD of levels of 0.5, Varied of 1.2; Thirds is three equal classes two
// tiers apart with 0.5 inside each.
const (
	Alike Mix = iota
	Varied
	Thirds
)

var mixNames = [...]string{"alike", "varied", "thirds"}

// String returns "alike", "varied" or "thirds".
func (m Mix) String() string {
	if int(m) < len(mixNames) {
		return mixNames[m]
	}
	return "unknown mix"
}

// MarshalText writes the name.
func (m Mix) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// Group is everybody but the leader.
type Group struct {
	People     int     // 1 to 200; 0 means 20
	Level      float64 // middle of the levels on the tier scale; 0 means 3
	Mix        Mix     // how differently people do
	Looseness  float64 // factor on everybody's timing spread; 0 means 1, an untrained group
	LoudnessSD float64 // dB between people; 0 means 4
	Near, Far  float64 // metres between people and phone; 0 means 2 and 6.5
	Lag        float64 // seconds the whole group answers late, on average
	LagSD      float64 // seconds from answer to answer; 0 means 0.02
	Rush       float64 // the group's tempo over the leader's, on average; 0 means 1.02
	RushSD     float64 // from answer to answer; 0 means 0.015
	Habits     Habits  // how else they may differ from other groups
}
