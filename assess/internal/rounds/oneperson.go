package rounds

// Nearly every note of one person's answer is as sharp as a single source. Of three people's notes at most 0.78 are; of a larger group's now and
// then as many where a dry room makes claps short, but those lack the concentration. Set on the tuning half.
const (
	soloReach = 0.06 // seconds
	soloSharp = 0.86 // of the notes that an attack meets
	soloDense = 0.22 // mean concentration
	soloLeast = 8    // notes to go by

	soloMet     = 0.55 // of the notes: a pupil's answers reach 0.64
	soloAnswers = 0.5  // of the calls
)

// onePerson reports whether all answers together sound like those of one person.
func (f *finder) onePerson(found []Round) bool {
	met := f.answerAttacks(found)
	return len(met) >= soloLeast && f.oneSource(met)
}

// oneSource reports whether attacks sound like strokes of one person.
func (f *finder) oneSource(attacks []int) bool {
	sharp, concentration := 0.0, 0.0
	for _, k := range attacks {
		concentration += f.attacks[k].Concentration
		if f.leader.sharp[k] > sharpOdds {
			sharp++
		}
	}
	all := float64(len(attacks))
	return sharp > soloSharp*all && concentration > soloDense*all
}

// leaderGoesOn reports whether the answers are the leader's own next strokes: one person's, and either few of the calls have one, or they meet
// few of their notes.
func (f *finder) leaderGoesOn(found []Round) bool {
	answers, notes := 0, 0
	for _, r := range found {
		if r.Answer != nil {
			answers, notes = answers+1, notes+len(r.Call.Phrase.Strokes())
		}
	}
	met := f.answerAttacks(found)
	few := float64(answers) < soloAnswers*float64(len(found)) || float64(len(met)) < soloMet*float64(notes)
	return len(met) > 0 && few && f.oneSource(met)
}

// answerAttacks lists the attacks that meet notes of the answers.
func (f *finder) answerAttacks(found []Round) []int {
	var out []int
	for _, r := range found {
		if r.Answer == nil {
			continue
		}
		for _, s := range r.Call.Phrase.Strokes() {
			if k := f.nearest.index(r.Answer.Map.At(float64(s.Step)), soloReach); k >= 0 {
				out = append(out, k)
			}
		}
	}
	return out
}

// What counts as a stroke of the one person who answers. Set on the tuning half.
const (
	soloQuiet = 13.0 // dB below the person's usual stroke
	soloOdds  = 0.0  // of a single source
	soloLate  = 0.5  // beats after the last bar
)

// findStrokes fills in the strokes of the one person who answers.
func (f *finder) findStrokes(found []Round) {
	var levels []float64
	for _, k := range f.answerAttacks(found) {
		levels = append(levels, f.leader.level[k])
	}
	if len(levels) == 0 {
		return
	}
	least := middle(levels) - soloQuiet
	for i, r := range found {
		if r.Answer == nil {
			continue
		}
		r.Answer.Solo = []float64{}
		from, to := soloWindow(found, i)
		for k := f.attackFrom(from); k < len(f.attacks) && f.attacks[k].Time < to; k++ {
			if f.leader.sharp[k] > soloOdds && f.leader.level[k] > least {
				r.Answer.Solo = append(r.Answer.Solo, f.attacks[k].Time)
			}
		}
	}
}

// soloWindow is where the strokes of answer i may lie: around its bars, but after its call and the answer before, and before the next call.
func soloWindow(found []Round, i int) (from, to float64) {
	phrase, m := found[i].Call.Phrase, found[i].Answer.Map
	beat := m.BeatSeconds(phrase)
	from, to = m.At(float64(phrase.Strokes()[0].Step))-lookBack*beat, m.At(float64(phrase.Steps()))+soloLate*beat
	if onsets := found[i].Call.Onsets; len(onsets) > 0 {
		from = max(from, onsets[len(onsets)-1]+answerAfter)
	}
	if i > 0 && found[i-1].Answer != nil {
		before := found[i-1]
		from = max(from, before.Answer.Map.At(float64(before.Call.Phrase.Steps()))-soloReach)
	}
	if i+1 < len(found) {
		to = min(to, found[i+1].Start()-soloReach)
	}
	return from, to
}
