package assess

import (
	"context"
	"fmt"
	"io"
	"math"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/audio"
	"clapladder.example/assess/internal/feed"
	"clapladder.example/assess/internal/hear"
	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/rounds"
	"clapladder.example/assess/internal/transcribe"
	"clapladder.example/assess/plan"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/rhythm"
)

// Options are what a caller may know beyond the recording. The zero value is complete; helps make
// the result surer where they are right. What they point to is only read.
type Options struct {
	Repertoire *bank.Repertoire  // openers come from it; nil: none
	Model      *difficulty.Model // grades what the bank does not pin; nil: difficulty.DefaultModel()
	Comfort    float64           // 0 to 1; 0: ability.DefaultComfort
	Sure       float64           // chance that the main opener should have; 0: two in three
	Order      []string          // ids of the phrases in the order called
	Tempo      float64           // beats a minute that all calls keep; 0: unknown
	Marks      []Mark            // spans a person marked
	Prior      *ability.Prior    // what is known of the group; nil: around the middle of the bank's tiers
	People     int               // in the group; 0: unknown
	Filter     plan.Filter       // which pieces to choose from
	// Calibrate is what a chance of an opener is worth by how earlier ones came true; see
	// plan.Request.
	Calibrate func(chance float64) float64
	Audio     audio.Options // limits of the decoder
	From, To  float64       // seconds: the part of the recording to listen to; To 0: to the end
	Tool      string        // name and version of the calling program, for the report
}

// Mark is a span of the recording that a person marked, such as in an audio editor.
type Mark struct {
	Start, End float64 // seconds from the start of the recording
	Label      string  // ID of the phrase called there; what else it says is not looked at
}

// marksOf are the marks on a part that begins at from.
func marksOf(marks []Mark, from float64) []rounds.Mark {
	out := make([]rounds.Mark, len(marks))
	for i, m := range marks {
		out[i] = rounds.Mark{Start: m.Start - from, End: m.End - from, Label: m.Label}
	}
	return out
}

// Recording listens to a warm-up and reports. The format is found by content. Errors are
// *audio.Error for a recording that can't be used, ctx's error soon after it ends, or that of r. A
// recording in which no round is heard is no error: the report's warnings say so; one with no part
// between Options.From and Options.To is a *PartError. The bank is only read; the reader is not
// closed.
func Recording(ctx context.Context, r io.Reader, bank *bank.Bank, o Options) (*Report, error) {
	stream, err := audio.Open(ctx, r, o.Audio)
	if err != nil {
		return nil, err
	}
	defer stream.Close()
	ahead := feed.ReadAhead(stream)
	defer ahead.Stop()
	asked, err := feed.NewPart(ahead, o.From, o.To)
	if err != nil {
		return nil, err
	}
	analysis, err := onset.Analyse(ctx, asked)
	if err != nil {
		return nil, err
	}
	if o.From > 0 && analysis.Envelope.Frames() == 0 {
		return nil, &PartError{From: o.From, To: o.To, Duration: stream.Info().Duration.Seconds()}
	}
	report, err := newScale(bank, o).recording(ctx, stream, analysis)
	if err != nil {
		return nil, err
	}
	report.place(o.From, o.To)
	return report, nil
}

// PartError says that no such part of a recording can be listened to.
type PartError = feed.Error

// recorded is what a report says of where the sound comes from: a file or a microphone.
type recorded interface {
	Info() audio.Info
	Warnings() []audio.Warning
	Flattening() audio.Flattening
}

// recording reports on a recording that was heard to its end.
func (s *scale) recording(ctx context.Context, source recorded, analysis *onset.Analysis) (*Report, error) {
	report := s.recorded(source)
	report.Recording.Envelope = outline(analysis.Envelope, s.From)
	for _, w := range source.Warnings() {
		report.warn(string(w.Code), w.Text)
	}
	found, err := hear.Find(ctx, analysis, s.templates(), s.findOptions())
	if err != nil {
		return nil, err
	}
	report.exchange(found)
	heard := s.measured(found.Analysis, found.Rounds)
	report.add(heard, map[string]int{})
	return report, report.judge(s, heard)
}

// recorded starts a report on a recording.
func (s *scale) recorded(source recorded) *Report {
	info := source.Info()
	return s.report(Recorded{
		Duration: info.Duration.Seconds(), SampleRate: info.SampleRate, Format: info.Format,
		Channels:  info.Channels,
		Flattened: flattened(source.Flattening()),
	})
}

func (s *scale) findOptions() rounds.Options {
	return rounds.Options{Order: s.Order, Tempo: s.Tempo, Marks: marksOf(s.Marks, s.From), People: s.People}
}

// exchange says how likely the recording holds call and response, and where.
func (r *Report) exchange(found hear.Exchange) {
	r.Recording.Exchange = new(rounded(found.Probability, 3))
	r.Recording.Heard = string(found.Instead)
	for _, s := range found.LeftOut {
		left := LeftOut{rounded(s.Start, 1), rounded(s.End, 1), NoExchange}
		r.Recording.LeftOut = append(r.Recording.LeftOut, left)
	}
	if found.Claimed {
		r.warnInstead(found.Instead)
	}
}

// mostOutline is how many values the outline of a recording has at most: some for every pixel of a
// screen, and under 7 kB of JSON.
const mostOutline = 1200

// outline is the sound as the report holds it; nil where there is none. Silence stands for what
// lies before a part that begins at from.
func outline(e *onset.Envelope, from float64) *Envelope {
	most := mostOutline * e.Seconds() / max(1e-9, from+e.Seconds())
	powers, step := e.Outline(max(1, int(most)))
	if len(powers) == 0 {
		return nil
	}
	before := min(int(math.Round(from/step)), mostOutline-len(powers))
	out := &Envelope{Step: rounded(step, 3), Power: make([]int, before+len(powers))}
	for i := range before {
		out.Power[i] = onset.OutlineFloor
	}
	for i, db := range powers {
		out.Power[before+i] = int(math.Round(db))
	}
	return out
}

// Burst is one clap, of one person or of a whole group at once.
type Burst struct {
	Time       float64 `json:"time_s"`     // its middle, seconds from the start of the recording
	Power      float64 `json:"power_db"`   // dB relative to the strongest burst, 0 or less
	Width      float64 `json:"width_ms"`   // standard deviation of the hands in it; 0 for a single clap
	Confidence float64 `json:"confidence"` // 0 to 1, that it is one clap
}

// Bursts lists the claps of a recording by time, for people who annotate and to compare detectors.
// Warnings are those of the decoder. Errors are those of [Recording].
func Bursts(ctx context.Context, r io.Reader, o audio.Options) ([]Burst, []Warning, error) {
	stream, err := audio.Open(ctx, r, o)
	if err != nil {
		return nil, nil, err
	}
	defer stream.Close()
	analysis, err := onset.Examine(ctx, stream)
	if err != nil {
		return nil, nil, err
	}
	var warnings []Warning
	for _, w := range stream.Warnings() {
		warnings = append(warnings, Warning{Code: string(w.Code), Text: w.Text})
	}
	found := analysis.Bursts()
	strongest := 0.0
	for _, b := range found {
		strongest = max(strongest, b.Power)
	}
	bursts := make([]Burst, len(found))
	for i, b := range found {
		if !(b.Power > 0) {
			return nil, nil, fmt.Errorf("the burst at %.3f s has no power", b.Time)
		}
		bursts[i] = Burst{b.Time, 10 * math.Log10(b.Power/strongest), 1000 * b.Width, b.Confidence}
	}
	return bursts, warnings, nil
}

// What belongs to a phrase that one person claps for the program.
const (
	surePhrase  = 0.5 // least confidence of a clap
	faintest    = -25 // dB below the strongest clap; fainter ones are echoes or other sounds
	longestRest = 2.5 // seconds; after that the phrase is over
)

// Transcribe writes down the phrase that bursts begin with: what one person clapped, up to the
// first long silence. It is false where there is none.
func Transcribe(bursts []Burst) (rhythm.Phrase, bool) {
	var times []float64
	for _, b := range bursts {
		if b.Confidence < surePhrase || b.Power < faintest {
			continue
		}
		if len(times) > 0 && b.Time-times[len(times)-1] > longestRest {
			break
		}
		times = append(times, b.Time)
	}
	found, ok := transcribe.Onsets(times, 0)
	return found.Phrase, ok
}
