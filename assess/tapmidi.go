package assess

import (
	"bytes"
	"fmt"
	"slices"
	"sort"
	"strconv"

	"gitlab.com/gomidi/midi/v2/smf"
)

// readTapMIDI reads the first two tracks that have notes: the calls, then the responses. A round is a call with the
// responses until the next call.
func readTapMIDI(data []byte) ([]tapped, error) {
	tracks, err := noteOnsets(data)
	if err != nil {
		return nil, err
	}
	if len(tracks) == 0 {
		return nil, &TapsError{Message: "the MIDI file has no note", Advice: "record the calls on track 1 and the responses on track 2"}
	}
	var responses []float64
	if len(tracks) > 1 {
		responses = tracks[1]
	}
	return splitRounds(tracks[0], responses), nil
}

// noteOnsets lists the times of note-ons in seconds, track by track, for tracks that have any.
func noteOnsets(data []byte) (tracks [][]float64, err error) {
	defer func() { // the reader is not ours; damage must not take the program down
		if p := recover(); p != nil {
			tracks, err = nil, &TapsError{Message: fmt.Sprintf("the MIDI file is damaged (%v)", p), Advice: "export it again"}
		}
	}()
	file, err := smf.ReadFrom(bytes.NewReader(data))
	if err != nil {
		return nil, &TapsError{Message: "the MIDI file can't be read: " + err.Error(), Advice: "export it again as a Standard MIDI File"}
	}
	if _, metric := file.TimeFormat.(smf.MetricTicks); !metric {
		return nil, &TapsError{Message: "the MIDI file counts film frames instead of beats", Advice: "export it with ticks per quarter note"}
	}
	for _, track := range file.Tracks {
		var ticks int64
		var onsets []float64
		for _, event := range track {
			ticks += int64(event.Delta)
			var channel, key, velocity uint8
			if !event.Message.GetNoteStart(&channel, &key, &velocity) {
				continue
			}
			if at := float64(file.TimeAt(ticks)) / 1e6; validTime(at) {
				onsets = append(onsets, at)
			}
		}
		if len(onsets) > 0 {
			slices.Sort(onsets)
			tracks = append(tracks, onsets)
		}
	}
	return tracks, nil
}

const (
	newCallGap   = 2.0 // seconds without a stroke after which an unanswered call is over
	straySeconds = 0.3 // an answer this close before the end of the call came in early and does not end it
)

// splitRounds cuts two streams into rounds: a call begins after a response, or after a long gap.
func splitRounds(calls, responses []float64) []tapped {
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
	var out []tapped
	last := 0.0
	for i, s := range all {
		begin := len(out) == 0
		if !begin && !s.response {
			now := &out[len(out)-1]
			answered := len(now.response)
			early := answered == 1 && s.at-now.response[0] < straySeconds && i > 0
			begin = answered > 0 && !early || answered == 0 && s.at-last > newCallGap
		}
		if begin {
			out = append(out, tapped{label: strconv.Itoa(len(out) + 1)})
		}
		now := &out[len(out)-1]
		if s.response {
			now.response = append(now.response, s.at)
		} else {
			now.call = append(now.call, s.at)
		}
		last = s.at
	}
	return out
}
