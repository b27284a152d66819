package audio

// Numbers that decide when a recording counts as flattened. They lie between what clean warm-ups
// with recorded and made-up claps have, a leader alone among them (131: at most 0.29 held; 170:
// ducked by at most 3.5 dB), and what the same have behind a limiter, a clipping amplifier or a
// fast gain control (0.35 held and more in all but where a codec follows, or ducked by 4.4 dB and
// more in all but one). What made-up ones of the tuning half have is printed by
//
//	go test -run '^$' -bench Flattening -benchtime 1x ./assess/audio
//
// and how often recordings are named is in the column "flat" of
//
//	go test -run '^$' -bench Quality -benchtime 1x ./assess
const (
	peakNear     = 2.0   // dB below the highest peak that a limiter leaves peaks in
	peakDeep     = 12.0  // dB below the highest peak that peaks are counted in
	peakOutliers = 0.005 // share of the peaks that may stand out above the rest
	peakFew      = 25    // peaks that make a share
	peakBody     = 3     // windows of 20 ms that make the energy of a sound
	asAlike      = 0.93  // times the share by height: alike in energy too, it is one sound over and over
	peakHeld     = 0.75  // dB that a limiter leaves peaks within
	peakSag      = 3.0   // dB below the highest peak that it may hold them at
	leastHeld    = 0.32  // share of peaks so held from where a limiter is named
	severePeaks  = 0.55  // share from where too little is left

	duckLoud     = 12.0 // dB below the recent loudest that still is a loud sound
	duckFew      = 8    // pauses that make a quantile
	leastDucking = 4.0  // dB from where a gain control is named
	fullChange   = 12.0 // dB of gain that leave next to nothing
	severeRiding = 0.75 // of fullChange from where too little is left
)
