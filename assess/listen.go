package assess

import (
	"math"
	"runtime"
	"slices"
	"sync"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/response"
	"clapladder.example/assess/internal/rounds"
	"clapladder.example/patterns"
	"clapladder.example/rhythm"
)

// heardRound is a round with everything that was found out about it.
type heardRound struct {
	rounds.Round
	entry        *patterns.Graded // nil for an improvised call
	closeTo      *CloseTo         // of an improvised call; nil: to none
	difficulty   float64
	difficultySD float64
	expected     rhythm.TimeMap // the leader's pulse carried into the answer
	result       *response.Result
	along        bool // the leader played the answer too
	sure         bool // participation is measured against a phrase that everybody clapped
	solo         bool // one person answered
	tapped       bool // onset times instead of sound
}

// callTail is how many of the call's last notes may ring into the answer.
const callTail = 2

// listen measures every answer and calibrates them together.
func listen(a *onset.Analysis, s *scale, found []rounds.Round) []heardRound {
	out := make([]heardRound, len(found))
	var asked []response.Answer
	var difficulty []float64
	var at []int
	for i, r := range found {
		h := heardRound{Round: r}
		if r.Template >= 0 {
			h.entry = &s.graded[r.Template]
			h.difficulty, h.difficultySD = h.entry.Difficulty, h.entry.SD
		} else {
			h.difficulty, h.difficultySD = s.grade(r.Call.Phrase)
			h.closeTo = s.closeTo(r.Call.Phrase)
		}
		if r.Answer != nil {
			h.expected = carried(r)
			until := math.Inf(1)
			if i+1 < len(found) {
				until = found[i+1].Start()
			}
			leader := slices.Concat(r.Call.Onsets[max(0, len(r.Call.Onsets)-callTail):], r.Answer.Leader)
			h.along = r.Answer.Along
			asked = append(asked, response.Answer{
				Phrase: r.Call.Phrase, Expected: h.expected, Guess: r.Answer.Map, Leader: leader,
				Until: until, Low: r.Call.Low,
			})
			difficulty = append(difficulty, h.difficulty)
			at = append(at, i)
		}
		out[i] = h
	}
	answers := measure(a, asked)
	calibration := response.Calibrate(answers, difficulty)
	for k, answer := range answers {
		h := &out[at[k]]
		h.solo = h.Answer.Solo != nil
		var result response.Result
		if h.solo {
			result = answer.Solo(calibration, h.Answer.Solo)
		} else {
			result = answer.Result(calibration)
		}
		h.result, h.sure = &result, calibration.Sure
	}
	return slices.DeleteFunc(out, heardRound.nobodyAgain)
}

// leastAgain is the mean energy of the notes, over the full group's, below which a repeated answer
// is talk or a count-in that happens to fit: who answers once more is heard.
const leastAgain = 0.2

// nobodyAgain reports whether a round is a repeated answer that nobody gave.
func (h heardRound) nobodyAgain() bool {
	if h.Attempt < 2 || h.result == nil || h.solo {
		return false
	}
	return h.result.Energy < leastAgain
}

// measure measures each answer, on as many processors as there are.
func measure(a *onset.Analysis, answers []response.Answer) []response.Heard {
	shapes := response.NewShapes(a.Kernel)
	out := make([]response.Heard, len(answers))
	workers := runtime.GOMAXPROCS(0)
	var wait sync.WaitGroup
	for w := range workers {
		wait.Go(func() {
			for i := w; i < len(answers); i += workers {
				out[i] = response.Measure(a, shapes, answers[i])
			}
		})
	}
	wait.Wait()
	return out
}

// carried is the leader's pulse laid where the answer belongs: on the next bar after the call where
// the answer came at once, otherwise on the nearest beat of the pulse, for how long a leader waits
// is nobody's mistake.
func carried(r rounds.Round) rhythm.TimeMap {
	end := r.Call.End()
	beat := r.Call.Map.BeatSeconds(r.Call.Phrase)
	beats := math.Round((r.Answer.Map.Origin - end) / beat)
	return rhythm.TimeMap{Origin: end + beats*beat, StepSeconds: r.Call.Map.StepSeconds}
}
