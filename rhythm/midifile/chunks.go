package midifile

import (
	"encoding/binary"
	"fmt"
	"strings"

	"gitlab.com/gomidi/midi/v2/smf"
)

// Limits of a file. One hour of taps at ten a second is under 400 kB.
const (
	maxFile   = 4 << 20
	maxTracks = 1024
)

// file is a Standard MIDI File taken apart. The walk is our own because damage must be named and
// may cost neither memory nor the process; single messages are decoded by the smf package.
type file struct {
	format   int
	division uint16 // as written: ticks a quarter note, or frames if the top bit is set
	tracks   []track
}

// track is one MTrk chunk.
type track struct {
	name   string
	events []event
	end    int64 // ticks
}

// event is one message at its absolute time in ticks.
type event struct {
	ticks   int64
	message smf.Message
}

// parse takes a file apart. Chunks of unknown type are skipped, as the specification asks.
func parse(data []byte) (*file, error) {
	switch {
	case len(data) > maxFile:
		return nil, &Error{Message: fmt.Sprintf("the MIDI file has more than %d megabytes",
			maxFile>>20), Advice: "cut it to the part that matters"}
	case len(data) < 4 || string(data[:4]) != "MThd":
		return nil, &Error{
			Message: "this is not a Standard MIDI File",
			Advice:  "export one with the ending .mid",
		}
	case len(data) < 14 || binary.BigEndian.Uint32(data[4:]) < 6:
		return nil, damaged("its header is cut off")
	}
	f := &file{format: int(binary.BigEndian.Uint16(data[8:])), division: binary.BigEndian.Uint16(data[12:])}
	if f.format > 1 {
		return nil, &Error{
			Message: fmt.Sprintf("the MIDI file has format %d", f.format),
			Advice:  "export it as format 0 or 1",
		}
	}
	if f.division == 0 || f.division&0x8000 != 0 && (f.division&0xff == 0 || f.frames() == 0) {
		return nil, damaged("its ticks have no length")
	}
	rest := data[8:]
	for size := binary.BigEndian.Uint32(data[4:]); ; {
		if uint64(size) > uint64(len(rest)) {
			return nil, damaged("a chunk is cut off")
		}
		rest = rest[size:]
		if len(rest) < 8 {
			return f, nil // the end, with or without stray bytes
		}
		kind := string(rest[:4])
		size = binary.BigEndian.Uint32(rest[4:])
		rest = rest[8:]
		if kind != "MTrk" {
			continue
		}
		if uint64(size) > uint64(len(rest)) {
			return nil, damaged("track %d is cut off", len(f.tracks)+1)
		}
		if len(f.tracks) == maxTracks {
			return nil, &Error{Message: fmt.Sprintf("the MIDI file has more than %d tracks",
				maxTracks), Advice: "export only the rhythm"}
		}
		t, err := parseTrack(rest[:size])
		if err != nil {
			return nil, damaged("track %d: %v", len(f.tracks)+1, err)
		}
		f.tracks = append(f.tracks, t)
	}
}

// frames is the number of frames a second of a file that counts those; 29 stands for 30 drop frame,
// 29.97 a second.
func (f *file) frames() float64 {
	switch rate := -int8(f.division >> 8); rate {
	case 24, 25, 30:
		return float64(rate)
	case 29:
		return 30000.0 / 1001
	}
	return 0
}

// parseTrack lists the messages of one chunk.
func parseTrack(data []byte) (track, error) {
	var t track
	r := cursor{data: data}
	var ticks int64
	var running byte
	for len(r.data) > 0 {
		delta, err := r.number()
		if err != nil {
			return t, err
		}
		ticks += int64(delta)
		t.end = ticks
		if len(r.data) == 0 {
			return t, errCut
		}
		status := r.data[0]
		switch {
		case status == 0xff:
			message, err := r.meta()
			if err != nil {
				return t, err
			}
			if message.Is(smf.MetaEndOfTrackMsg) {
				return t, nil
			}
			var name string
			if t.name == "" && message.GetMetaTrackName(&name) {
				t.name = strings.ToValidUTF8(strings.TrimSpace(name), "")
			}
			t.events = append(t.events, event{ticks, message})
			continue
		case status == 0xf0 || status == 0xf7:
			r.data = r.data[1:]
			if _, err := r.block(); err != nil {
				return t, err
			}
			continue
		case status > 0xf0:
			return t, fmt.Errorf("the byte %#x does not belong in a file", status)
		case status >= 0x80:
			running = status
			r.data = r.data[1:]
		case running == 0:
			return t, fmt.Errorf("the byte %#x stands where a message should begin", status)
		}
		arguments := 2
		if kind := running >> 4; kind == 0xc || kind == 0xd {
			arguments = 1
		}
		if len(r.data) < arguments {
			return t, errCut
		}
		for _, b := range r.data[:arguments] {
			if b > 0x7f {
				return t, fmt.Errorf("the byte %#x stands inside a message", b)
			}
		}
		message := append(smf.Message{running}, r.data[:arguments]...)
		r.data = r.data[arguments:]
		t.events = append(t.events, event{ticks, message})
	}
	return t, nil // no end of track: tolerated, nothing is missing
}
