package tapfile

import (
	"errors"
	"fmt"
	"sort"
	"strconv"

	"clapladder.example/rhythm/midifile"
)

// readMIDI reads the first two tracks that have notes: the calls, then the responses. A round is
// a call with the responses until the next call.
func readMIDI(data []byte) ([]Round, error) {
	tracks, err := midifile.ReadTaps(data)
	var midi *midifile.Error
	if errors.As(err, &midi) {
		return nil, &Error{Message: midi.Message, Advice: midi.Advice}
	}
	if err != nil {
		return nil, fmt.Errorf("reading taps: %w", err)
	}
	var onsets [2][]float64
	n := 0
	for _, track := range tracks {
		if len(track.Onsets) > 0 && n < len(onsets) {
			onsets[n] = track.Onsets
			n++
		}
	}
	if n == 0 {
		return nil, &Error{
			Message: "the MIDI file has no note",
			Advice:  "record the calls on track 1 and the responses on track 2",
		}
	}
	return splitRounds(onsets[0], onsets[1]), nil
}

const (
	newCallGap   = 2.0 // seconds without a stroke after which an unanswered call is over
	straySeconds = 0.3 // an answer this close before the end of the call came in early and does not end it
)

// splitRounds cuts two streams into rounds: a call begins after a response, or after a long gap.
func splitRounds(calls, responses []float64) []Round {
	type stroke struct {
		at       float64
		response bool
	}
	var all []stroke
	for _, at := range calls {
		all = append(all, stroke{at, false})
	}
	for _, at := range responses {
		all = append(all, stroke{at, true})
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].at < all[j].at })
	var out []Round
	last := 0.0
	for i, s := range all {
		begin := len(out) == 0
		if !begin && !s.response {
			now := &out[len(out)-1]
			answered := len(now.Response)
			early := answered == 1 && s.at-now.Response[0] < straySeconds && i > 0
			begin = answered > 0 && !early || answered == 0 && s.at-last > newCallGap
		}
		if begin {
			out = append(out, Round{Label: strconv.Itoa(len(out) + 1)})
		}
		now := &out[len(out)-1]
		if s.response {
			now.Response = append(now.Response, s.at)
		} else {
			now.Call = append(now.Call, s.at)
		}
		last = s.at
	}
	return out
}
