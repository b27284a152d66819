package difficulty

// Reason says in a sentence why a feature is in the model, and what that rests on.
func (f Feature) Reason() (reason, source string) {
	if int(f) >= len(featureReasons) {
		return "", ""
	}
	return featureReasons[f].reason, featureReasons[f].source
}

var featureReasons = [FeatureCount]struct{ reason, source string }{
	Syncopation: {
		"strokes held over a stronger place fight the pulse that people clap to, and come back moved onto it",
		"Longuet-Higgins & Lee 1984 for the measure; Grahn & Brett 2007, Fitch & Rosenfeld 2007 for people",
	},
	SilentBeats: {
		"a beat that nobody sounds has to be felt, and a stroke that follows inside it has nothing to lean on",
		"Povel & Essens 1985 (clock ticks on silence); Song et al. 2013 (missing first beat)",
	},
	Variety: {
		"the more the intervals vary and change, the more there is to keep in mind",
		"Shannon entropy; re-analysis of clap-back examinations 2015-16, where it went with the grade more closely than syncopation",
	},
	Length: {
		"what does not fit into memory is lost; a second half that equals the first is one thing to remember",
		"re-analysis of clap-back examinations 2015-16; Drake 1993 (equal halves); span of memory from memory, no source",
	},
	Unevenness: {
		"only intervals of 1:1 and 1:2 are copied faithfully; 3:2 is stretched towards 2:1",
		"Povel 1981; Wu et al. 2013; re-analysis of clap-back examinations 2015-16",
	},
	Division: {
		"beats in two come before beats in four, in three, and mixed; equal beats before unequal ones",
		"Drake 1993; the order of published teaching sequences",
	},
	Pace: {
		"hands have a limit, off-beat strokes slip at speed, and slow beats drift apart",
		"Repp 2005, 2006; Bååth & Madison 2012; beats of 0.46 to 0.75 s are comfortable (McAuley et al. 2006; Fraisse from memory)",
	},
	Sounds: {
		"changing the sound and stressing off-beats is one more thing to get right",
		"common practice, no source: no data",
	},
}
