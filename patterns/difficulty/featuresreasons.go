package difficulty

// Reason says in a sentence why a feature is in the model, and what that rests on.
func (f Feature) Reason() (reason, source string) {
	if int(f) >= len(featureReasons) {
		return "", ""
	}
	return featureReasons[f].reason, featureReasons[f].source
}

var featureReasons = [FeatureCount]struct{ reason, source string }{
	Span: {
		"what does not fit into memory is lost, and a bar that comes back has to be kept too",
		"clap-back examinations; span of memory from memory, no source",
	},
	Runs: {
		"every change from one gap to another is one more thing to keep in mind",
		"clap-back examinations; Grahn & Brett 2007",
	},
	Syncopation: {
		"strokes held over a stronger place fight the pulse that people clap to, " +
			"and come back moved onto it",
		"Longuet-Higgins & Lee 1984 for the measure; " +
			"Grahn & Brett 2007, Fitch & Rosenfeld 2007 for people",
	},
	SilentBeats: {
		"a beat that nobody sounds has to be felt, " +
			"and a stroke that follows inside it has nothing to lean on",
		"Povel & Essens 1985 (clock ticks on silence); Song et al. 2013 (missing first beat)",
	},
	OffBeats: {
		"strokes near a beat but not on it are pulled onto it, most of all those that last over it",
		"Gómez et al. 2005 for the measure; clap-back examinations",
	},
	Unevenness: {
		"only intervals of 1:1 and 1:2 are copied faithfully; 3:2 is stretched towards 2:1",
		"Povel 1981; Wu et al. 2013",
	},
	Division: {
		"beats in two come before beats in four, in three, and mixed; equal beats before unequal ones",
		"Drake 1993; the order of published teaching sequences",
	},
	Pace: {
		"hands have a limit, off-beat strokes slip at speed, and slow beats drift apart",
		"Repp 2005, 2006; Bååth & Madison 2012; beats of 0.46 to 0.75 s are comfortable " +
			"(McAuley et al. 2006; Fraisse from memory)",
	},
	Sounds: {
		"changing the sound and stressing off-beats is one more thing to get right",
		"common practice, no source: no data",
	},
}
