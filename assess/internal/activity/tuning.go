package activity

import "clapladder.example/assess/internal/onset"

// Every number that was set by trying stands here. They were set on the tuning half of made-up
// warm-ups, and what a change does is printed by
//
//	SPLIT=tuning go test -run '^$' -bench Quality -benchtime 1x ./assess
const (
	Step        = onset.ActivityStep // seconds a value
	DelaySteps  = 2                  // delays of [Activity.Along] are so many values apart
	LeastPeak   = 0.1                // of a strong burst: a maximum that stands out from the noise
	sigma       = 0.025              // seconds: SD of the smoothing, about the spread of a tight group
	most        = 1.3                // bursts above the usual strong ones count no more than this
	directSteps = 4                  // values that the direct sound of one stroke lasts
)
