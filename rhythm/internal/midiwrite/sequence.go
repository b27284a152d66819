package midiwrite

import (
	"bytes"
	"errors"
	"io"

	"gitlab.com/gomidi/midi/v2/smf"

	"clapladder.example/rhythm"
)

// What happens in a section.
const (
	CountIn = "count-in" // beats to get the tempo from, on the wood blocks
	Call    = "call"     // the strokes of the phrase, as the leader claps them
	Answer  = "answer"   // the same strokes as the group's: a model answer
	Gap     = "gap"      // silence for the group's answer
	Pause   = "pause"    // silence before another phrase, in its metre and tempo
)

// Section is a stretch of a sequence: whole bars in the metre and tempo of its phrase.
type Section struct {
	Role   string        // what happens in it: one of the constants
	Phrase rhythm.Phrase // gives metre and tempo, and the strokes of a call or an answer
	Bars   int           // at least 1; a call or an answer has the bars of its phrase
}

// SequenceOptions choose what is around the sections.
type SequenceOptions struct {
	Click bool   // a click on every beat after the count-in, on a track of its own
	Title string // name of the file's first track; empty: none
}

const clickVelocity = 48

// WriteSequence writes sections one after the other as a file of format 1, with tempo and metre
// where they change. The calls are the first track with notes and the answers the second, as for
// midifile.ReadTaps; count-in and click follow on tracks of their own. All notes are on the percussion
// channel. midifile.Read reads the first call if the metre does not change. It fails without a section
// that has a phrase and bars, and where w does.
func WriteSequence(w io.Writer, sections []Section, opts SequenceOptions) error {
	if len(sections) == 0 {
		return errors.New("there is no section to write")
	}
	grid := 1
	for _, s := range sections {
		if s.Phrase.IsZero() || s.Bars < 1 {
			return errors.New("a section needs a phrase and at least one bar")
		}
		if grid <= maxTicks {
			grid = commonMultiple(grid, s.Phrase.StepsPerQuarter())
		}
	}
	file := smf.NewSMF1()
	perQuarter := ticksPerQuarter(grid)
	file.TimeFormat = smf.MetricTicks(perQuarter)
	for _, track := range newSequence(perQuarter, sections, opts).tracks() {
		if err := file.Add(track); err != nil {
			return err
		}
	}
	return write(w, file)
}

// write writes a file in one go: what goes wrong is w's own error, which the library would bury.
func write(w io.Writer, file *smf.SMF) error {
	var all bytes.Buffer
	if _, err := file.WriteTo(&all); err != nil {
		return err
	}
	_, err := w.Write(all.Bytes())
	return err
}

func commonMultiple(a, b int) int {
	x, y := a, b
	for y > 0 {
		x, y = y, x%y
	}
	return a / x * b
}

// sequence is a file under construction.
type sequence struct {
	conductor, calls, answers, countIn, click line
}

func newSequence(perQuarter int, sections []Section, opts SequenceOptions) *sequence {
	q := &sequence{}
	if opts.Title != "" {
		q.conductor.add(0, smf.MetaTrackSequenceName(opts.Title))
	}
	at := sheet{perQuarter: perQuarter}
	for i, section := range sections {
		at.phrase, at.start = section.Phrase, at.end
		at.end += at.ticks(section.Bars * section.Phrase.BarSteps())
		if i == 0 || !samePulse(section.Phrase, sections[i-1].Phrase) {
			at.pulse(&q.conductor)
		}
		q.conductor.add(at.start, smf.MetaMarker(markers[section.Role]))
		switch section.Role {
		case CountIn:
			at.beats(&q.countIn, at.start, section.Bars, countVelocity)
		case Call:
			at.strokes(&q.calls)
		case Answer:
			at.strokes(&q.answers)
		}
		if opts.Click && section.Role != CountIn {
			at.beats(&q.click, at.start, section.Bars, clickVelocity)
		}
	}
	q.conductor.add(at.end, smf.MetaMarker(MarkEnd))
	return q
}

var markers = map[string]string{
	CountIn: MarkCountIn, Call: MarkPhrase, Answer: MarkAnswer,
	Gap: MarkAnswer, Pause: "pause",
}

// samePulse reports whether nothing of tempo and metre changes.
func samePulse(p, q rhythm.Phrase) bool { return p.Meter() == q.Meter() && p.Tempo() == q.Tempo() }

// tracks are those that have something on them, the conductor first.
func (q *sequence) tracks() []smf.Track {
	out := []smf.Track{q.conductor.closed(q.conductor.at)}
	for _, part := range []struct {
		name string
		line line
	}{{"calls", q.calls}, {"answers", q.answers}, {MarkCountIn, q.countIn}, {"click", q.click}} {
		if len(part.line.track) == 0 {
			continue
		}
		named := line{}
		named.add(0, smf.MetaTrackSequenceName(part.name))
		named.track = append(named.track, part.line.track...)
		out = append(out, named.closed(0))
	}
	return out
}
