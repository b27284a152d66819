package measure

// Words for the metres of the table.
const (
	allMetres   = "all (unequal beats or groups: own tree)"
	allEven     = "all with equal beats"
	evenTree    = "all with equal beats and groups"
	allAsIs     = "all"
	binaryOnly  = "2/4, 4/4, 2/2 in halves"
	simpleOnly  = "simple, beats in fours"
	profileOnly = "4/4, 3/4, 6/8 in sixteenths"
)

var table = []Measure{
	{
		ID: "lhl", Name: "Longuet-Higgins & Lee syncopation", Source: "Longuet-Higgins & Lee 1984",
		Meaning: "how much stronger the silent places are than the notes before them",
		Metres:  allMetres, Cyclic: true, on: always(longuetHigginsLee),
	},
	{
		ID: "lhl-pairs", Name: "Longuet-Higgins & Lee pairs", Source: "Longuet-Higgins & Lee 1984",
		Meaning: "how many notes are followed by a silent place at least as strong",
		Metres:  allMetres, Cyclic: true, on: always(longuetHigginsLeePairs),
	},
	{
		ID: "lhl-terminal", Name: "Longuet-Higgins & Lee syncopation on terminal nodes",
		Source:  "Song, Pearce & Harte 2015",
		Meaning: "as lhl, but several rests of one gap can count; -1 for none",
		Metres:  allMetres, Cyclic: true, on: always(longuetHigginsLeeTerminal),
	},
	{
		ID: "smith-honing", Name: "Smith & Honing syncopation", Source: "Smith & Honing 2006",
		Meaning: "as lhl, with 1 more for every pair",
		Metres:  allMetres, Cyclic: true, on: always(smithHoning),
	},
	{
		ID: "fitch-rosenfeld", Name: "Fitch & Rosenfeld syncopation index", Source: "Fitch & Rosenfeld 2007",
		Meaning: "as lhl, but every silent place that is stronger than the note before it counts",
		Metres:  allMetres, Cyclic: true, on: always(fitchRosenfeld),
	},
	{
		ID: "witek", Name: "Witek syncopation", Source: "Witek, Clarke, Wallentin, Kringelbach & Vuust 2014",
		Meaning: "as lhl, with all beats but the first of the bar alike",
		Metres:  allMetres, Cyclic: true, on: always(witek),
	},
	{
		ID: "sioros-guedes", Name: "Sioros & Guedes syncopation", Source: "Sioros & Guedes 2011",
		Meaning: "how far weak places are louder than the stronger places around them; hears accents",
		Metres:  allMetres, Cyclic: true, on: always(siorosGuedes),
	},
	{
		ID: "metrical", Name: "Toussaint metrical complexity", Source: "Toussaint 2002",
		Meaning: "how far the notes stay from the strongest places",
		Metres:  allMetres, on: always(toussaintMetrical),
	},
	{
		ID: "off-beatness", Name: "Off-beatness", Source: "Toussaint 2005",
		Meaning: "how many notes lie on pulses that no even division of the bar meets",
		Metres:  allEven, on: offBeatness, applies: evenBeats,
	},
	{
		ID: "keith", Name: "Keith syncopation, count", Source: "Keith 1991; Gómez et al. 2005",
		Meaning: "how many notes start off a beat of their own length",
		Metres:  binaryOnly, Cyclic: true, on: keith, applies: binaryBars,
	},
	{
		ID: "keith-weighted", Name: "Keith syncopation, weighted", Source: "Keith 1991",
		Meaning: "hesitations 1, anticipations 2, syncopations 3",
		Metres:  binaryOnly, Cyclic: true, on: keithWeighted, applies: binaryBars,
	},
	{
		ID: "note-to-beat", Name: "Weighted note-to-beat distance",
		Source:  "Gómez, Melvin, Rappaport & Toussaint 2005",
		Meaning: "how close notes lie to beats that they miss, more where they sound across the next beat",
		Metres:  allAsIs, Cyclic: true, on: noteToBeat,
	},
	{
		ID: "note-to-beat-sum", Name: "Weighted note-to-beat distance, sum",
		Source:  "Song, Pearce & Harte 2015",
		Meaning: "as note-to-beat, with another tie rule and not divided by the notes",
		Metres:  allAsIs, Cyclic: true, on: noteToBeatSum,
	},
	{
		ID: "pressing", Name: "Pressing cognitive complexity, by beats",
		Source:  "Pressing 1997; Toussaint 2002",
		Meaning: "cost of the figure in each beat and its halves",
		Metres:  simpleOnly, on: pressing, applies: fours,
	},
	{
		ID: "pressing-full", Name: "Pressing cognitive complexity, all levels",
		Source:  "Pressing 1997; Thul 2008",
		Meaning: "mean cost of the figures at each level from the bar down",
		Metres:  binaryOnly, Cyclic: true, on: pressingFull, applies: binaryTrees,
	},
	{
		ID: "c-score", Name: "Povel & Essens C-score, best clock", Source: "Povel & Essens 1985; Essens 1995",
		Meaning: "how badly the best clock of 2 to 4 pulses fits the accents that grouping makes",
		Metres:  "all whose bar a clock divides", Cyclic: true, on: povelEssens,
	},
	{
		ID: "c-score-beat", Name: "Povel & Essens C-score, clock on the beats", Source: "Povel & Essens 1985",
		Meaning: "how badly the beats as counted in fit the accents that grouping makes",
		Metres:  allEven, Cyclic: true, on: povelEssensBeat, applies: evenBeats,
	},
	{
		ID: "npvi", Name: "Normalised pairwise variability (nPVI)",
		Source:  "Grabe & Low 2002; Toussaint 2013",
		Meaning: "how unlike neighbouring intervals are, in per cent of their mean",
		Metres:  allAsIs, Cyclic: true, on: pairwiseVariability,
	},
	{
		ID: "interval-entropy", Name: "Entropy of intervals", Source: "Toussaint 2013",
		Meaning: "bits of surprise in the intervals between neighbours",
		Metres:  allAsIs, Cyclic: true, on: intervalEntropy,
	},
	{
		ID: "distinct-intervals", Name: "Distinct intervals", Source: "Toussaint 2013",
		Meaning: "how many different intervals between neighbours",
		Metres:  allAsIs, Cyclic: true, on: distinctIntervals,
	},
	{
		ID: "distance-entropy", Name: "Entropy of all distances", Source: "Toussaint 2013",
		Meaning: "bits of surprise in the distances of all pairs of notes",
		Metres:  allAsIs, Cyclic: true, on: distanceEntropy,
	},
	{
		ID: "distinct-distances", Name: "Distinct distances", Source: "Toussaint 2013",
		Meaning: "how many different distances among all pairs of notes",
		Metres:  allAsIs, Cyclic: true, on: distinctDistances,
	},
	{
		ID: "lempel-ziv", Name: "Lempel-Ziv complexity", Source: "Lempel & Ziv 1976",
		Meaning: "how many new pieces the row of boxes is built from",
		Metres:  allAsIs, on: lempelZiv,
	},
	{
		ID: "barlow", Name: "Barlow indispensability deficit", Source: "Barlow 1987 (weights); own score",
		Meaning: "how far the notes stay from the pulses that the metre can least do without",
		Metres:  evenTree, on: barlow, applies: evenGroups,
	},
	{
		ID: "swap", Name: "Directed swap distance to the beats", Source: "Díaz-Báñez et al. 2004; Thul 2008",
		Meaning: "how many pulses notes must move to make plain beats",
		Metres:  allAsIs, on: swapToBeats,
	},
	{
		ID: "swap-mean", Name: "Directed swap distance, mean of 2, 4 and 8", Source: "Thul 2008",
		Meaning: "as swap, to half bars, beats and half beats",
		Metres:  "4/4 in halves", on: swapMean, applies: fourBeats,
	},
	{
		ID: "profile-musicians", Name: "Distance from musicians' metrical profile",
		Source:  "Palmer & Krumhansl 1990 (ratings); own score",
		Meaning: "how much worse the notes fit the metre, to musicians, than the best places would",
		Metres:  profileOnly, on: profileMusicians, applies: profiled,
	},
	{
		ID: "profile-non-musicians", Name: "Distance from non-musicians' metrical profile",
		Source:  "Palmer & Krumhansl 1990 (ratings); own score",
		Meaning: "the same for people without musical training",
		Metres:  profileOnly, on: profileNonMusicians, applies: profiled,
	},
	{
		ID: "density", Name: "Notes a pulse", Source: "common practice, no source",
		Meaning: "share of the pulses that sound",
		Metres:  allAsIs, on: pulseDensity,
	},
	{
		ID: "density-beat", Name: "Notes a beat", Source: "common practice, no source",
		Meaning: "notes divided by beats",
		Metres:  allAsIs, on: beatDensity,
	},
	{
		ID: "density-second", Name: "Notes a second", Source: "common practice, no source",
		Meaning: "notes divided by the time they take at the phrase's tempo",
		Metres:  allAsIs, on: rateDensity,
	},
}
