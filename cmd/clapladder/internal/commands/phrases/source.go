package phrases

import (
	"bytes"
	"cmp"
	"errors"
	"io"

	"clapladder.example/assess"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/midifile"
	"clapladder.example/rhythm/musicxml"
)

// mostScore bounds the size of a MIDI file or a score, bytes.
const mostScore = 8 << 20

// phraseFrom reads a phrase from a MIDI file, a score in MusicXML or a recording, whichever the
// content is. tempo and meter replace those of the file where they are given.
func phraseFrom(con *console.Console, path string, meter rhythm.Meter, tempo float64,
) (rhythm.Phrase, error) {
	f, err := con.Open(path)
	if err != nil {
		return rhythm.Phrase{}, err
	}
	defer f.Close()
	head := make([]byte, 512)
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return rhythm.Phrase{}, fault.Input(path, fault.Plain(err))
	}
	head = head[:n]
	all := io.MultiReader(bytes.NewReader(head), f)
	var phrase rhythm.Phrase
	switch {
	case bytes.HasPrefix(head, []byte("MThd")), looksLikeScore(head):
		data, err := io.ReadAll(io.LimitReader(all, mostScore+1))
		if err != nil {
			return rhythm.Phrase{}, fault.Input(path, fault.Plain(err))
		}
		if bytes.HasPrefix(head, []byte("MThd")) {
			phrase, err = midifile.Read(data, midifile.ReadOptions{Meter: meter, Tempo: tempo})
		} else {
			phrase, err = musicxml.Read(data, musicxml.ReadOptions{Tempo: tempo})
		}
		if err != nil {
			return rhythm.Phrase{}, fault.Input(path, err)
		}
		return phrase, nil
	}
	return clapped(con, path, all, tempo)
}

// looksLikeScore reports whether a file begins as MusicXML, plain or in a ZIP.
func looksLikeScore(head []byte) bool {
	text := bytes.TrimSpace(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")))
	return bytes.HasPrefix(text, []byte("<?xml")) || bytes.HasPrefix(text, []byte("<score-")) ||
		bytes.HasPrefix(text, []byte("<!DOCTYPE score")) ||
		bytes.HasPrefix(head, []byte("PK\x03\x04"))
}

// clapped writes down the phrase that a recording begins with.
func clapped(con *console.Console, path string, r io.Reader, tempo float64) (rhythm.Phrase, error) {
	bursts, warnings, err := assess.Bursts(con.Ctx, r, con.AudioLimits())
	con.Warn(warnings)
	if err != nil {
		return rhythm.Phrase{}, con.RecordingError(path, err)
	}
	found, ok := assess.Transcribe(bursts)
	if !ok {
		return rhythm.Phrase{}, fault.BadInput(path,
			"no phrase was heard; clap it once near the phone, with silence before and after")
	}
	return found.WithTempo(cmp.Or(tempo, found.Tempo())), nil
}
