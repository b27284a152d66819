package hear

import (
	"math"
	"runtime"
	"slices"
	"sync"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/response"
	"clapladder.example/assess/internal/rounds"
	"clapladder.example/rhythm"
)

// Round is a round with what came back.
type Round struct {
	rounds.Round
	Expected rhythm.TimeMap   // the leader's pulse carried into the answer
	Result   *response.Result // nil where nobody answered
	Sure     bool             // participation is measured against a phrase that everybody clapped
	Along    bool             // the leader played the answer too
	Solo     bool             // one person answered
}

// callTail is how many of the call's last notes may ring into the answer.
const callTail = 2

// Measure measures every answer and calibrates them together. difficulty places a round's phrase on
// the tier scale. Repeated answers that nobody gave are left out.
func Measure(
	a *onset.Analysis, found []rounds.Round, difficulty func(rounds.Round) float64,
) []Round {
	out := make([]Round, len(found))
	var asked []response.Answer
	var difficulties []float64
	var at []int
	for i, r := range found {
		out[i] = Round{Round: r}
		if r.Answer == nil {
			continue
		}
		out[i].Expected = Carried(r)
		out[i].Along, out[i].Solo = r.Answer.Along, r.Answer.Solo != nil
		until := math.Inf(1)
		if i+1 < len(found) {
			until = found[i+1].Start()
		}
		tail := r.Call.Onsets[max(0, len(r.Call.Onsets)-callTail):]
		asked = append(asked, response.Answer{
			Phrase: r.Call.Phrase, Expected: out[i].Expected, Guess: r.Answer.Map,
			Leader: slices.Concat(tail, r.Answer.Leader), Until: until, Low: r.Call.Low,
		})
		difficulties = append(difficulties, difficulty(r))
		at = append(at, i)
	}
	answers := measure(a, asked)
	calibration := response.Calibrate(answers, difficulties)
	for k, answer := range answers {
		r := &out[at[k]]
		var result response.Result
		if r.Solo {
			result = answer.Solo(calibration, r.Answer.Solo)
		} else {
			result = answer.Result(calibration)
		}
		r.Result, r.Sure = &result, calibration.Sure
	}
	return slices.DeleteFunc(out, Round.nobodyAgain)
}

// leastAgain is the mean energy of the notes, over the full group's, below which a repeated answer
// is talk or a count-in that happens to fit: who answers once more is heard.
const leastAgain = 0.2

// nobodyAgain reports whether a round is a repeated answer that nobody gave.
func (r Round) nobodyAgain() bool {
	return r.Attempt > 1 && r.Result != nil && !r.Solo && r.Result.Energy < leastAgain
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

// Carried is the leader's pulse laid where the answer belongs: on the next bar after the call where
// the answer came at once, otherwise on the nearest beat of the pulse, for how long a leader waits
// is nobody's mistake.
func Carried(r rounds.Round) rhythm.TimeMap {
	end := r.Call.End()
	beat := r.Call.Map.BeatSeconds(r.Call.Phrase)
	beats := math.Round((r.Answer.Map.Origin - end) / beat)
	return rhythm.TimeMap{Origin: end + beats*beat, StepSeconds: r.Call.Map.StepSeconds}
}
