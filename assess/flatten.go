package assess

import (
	"clapladder.example/assess/audio"
)

// Flattened says that the recorder took away differences of level, which shares of the group are
// read from.
type Flattened struct {
	Kind     string  `json:"kind"`     // code of the warning: clipped, overdriven, levelled, gain-riding
	Severity float64 `json:"severity"` // 0 to 1
	Severe   bool    `json:"severe"`   // too little is left: no share and no tier is stated
}

// flattenedFactor widens the error of shares where the recorder took away some of the differences,
// but not so much that nothing is stated.
const flattenedFactor = 1.5

// flattened is what the recorder did to the levels; nil for nothing.
func flattened(f audio.Flattening) *Flattened {
	if f.Kind == audio.NotFlattened {
		return nil
	}
	return &Flattened{Kind: f.Kind.Code(), Severity: rounded(f.Severity, 2), Severe: f.Severe()}
}

// withhold takes back what is read from levels: who got a phrase and the mistakes of most. What was
// called and when it came back stays.
func (r *Report) withhold() {
	for i := range r.Rounds {
		round := &r.Rounds[i]
		round.Share, round.ShareSD, round.Score, round.Pulse, round.Pattern = nil, nil, nil, nil, nil
		round.Errors, round.Usable = []Error{}, false
	}
}

// widen makes the errors of shares larger.
func (r *Report) widen() {
	for i := range r.Rounds {
		if sd := r.Rounds[i].ShareSD; sd != nil {
			r.Rounds[i].ShareSD = pointer(rounded(*sd*flattenedFactor, 3))
		}
		if x := r.Rounds[i].ShareInterval; x != nil {
			share := *r.Rounds[i].Share
			r.Rounds[i].ShareInterval = &[2]float64{
				rounded(max(share-(share-x[0])*flattenedFactor, 0), 3),
				rounded(min(share+(x[1]-share)*flattenedFactor, 1), 3),
			}
		}
	}
}
