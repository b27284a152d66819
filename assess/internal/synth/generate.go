package synth

// Recording is a warm-up as the phone stored it, with the truth about it.
type Recording struct {
	Samples []float32 // mono, −1 to 1
	Rate    int       // samples a second
	Truth   Truth     // what happens in it
}

// Generate makes the recording of a scene. It fails, with an error that wraps [ErrScene], where a
// field is out of range or the recording would be longer than an hour.
//
// A clap belongs to a note if it was meant there: on the group's pulse, before its maker's habit
// and jitter, it is no farther from the note than 0.4 of the phrase's shortest interval, at most
// 120 ms. Each person counts once for a note; NoteTruth.Participation is the share of people so
// counted. Claps that belong to no note become extras, joined where they are meant within the same
// window.
//
// NoteTruth.Energy weighs each of these claps with its energy at the phone (above 1 kHz for claps
// and snaps) and divides by the energy of one usual clap of everybody. The difference to
// Participation is what remains if claps are told apart perfectly by their power: no listener with
// one microphone can be expected to do better.
func Generate(s Scene) (*Recording, error) {
	return GenerateWith(s, Material{}, nil)
}

// SilentTruth is the truth about the recording of a scene, without making it: what strokes and
// energies tell takes a hundredth of the time. The error is as of [Generate].
func SilentTruth(s Scene) (Truth, error) {
	m, err := prepare(s, Material{}, nil)
	if err != nil {
		return Truth{}, err
	}
	return m.plan.truth, nil
}

// prepare plays a scene, unheard.
func prepare(s Scene, from Material, look func(string, []float32)) (*mixer, error) {
	s, err := s.withDefaults()
	if err != nil {
		return nil, err
	}
	p := makePlan(s)
	if p.truth.Duration > 3600 {
		return nil, sceneError("it would last %.0f s, at most 3600", p.truth.Duration)
	}
	m := newMixer(p, from, look)
	for i := range p.truth.Rounds {
		p.measure(i, m.weights)
	}
	return m, nil
}
