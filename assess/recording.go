package assess

import (
	"context"
	"io"
	"math"
	"slices"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/audio"
	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/rounds"
	"clapladder.example/assess/plan"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// Options are what a caller may know beyond the recording. The zero value is complete; helps make
// the result surer where they are right. What they point to is only read.
type Options struct {
	Repertoire *bank.Repertoire  // openers come from it; nil: none
	Model      *difficulty.Model // grades what the bank does not pin; nil: difficulty.DefaultModel()
	Comfort    float64           // 0 to 1; 0: ability.DefaultComfort
	Sure       float64           // chance that the main opener should have; 0: plan.DefaultSure
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
	ahead := startReading(stream)
	defer ahead.stop()
	asked, err := newPart(ahead, o.From, o.To)
	if err != nil {
		return nil, err
	}
	analysis, err := onset.Analyse(ctx, asked)
	if err != nil {
		return nil, err
	}
	if o.From > 0 && analysis.Envelope.Frames() == 0 {
		return nil, &PartError{o.From, o.To, stream.Info().Duration.Seconds()}
	}
	report, err := newScale(bank, o).recording(ctx, stream, analysis)
	if err != nil {
		return nil, err
	}
	report.place(o.From, o.To)
	return report, nil
}

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
	analysis, found, err := report.findRounds(ctx, analysis, s.templates(), s.findOptions())
	if err != nil {
		return nil, err
	}
	heard := listen(analysis, s, found)
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

// judge says what the rounds of a recording tell, as far as its levels can be trusted.
func (r *Report) judge(s *scale, heard []heardRound) error {
	unanswered := !slices.ContainsFunc(heard, func(h heardRound) bool { return h.result != nil })
	switch flat := r.Recording.Flattened; {
	case flat == nil:
	case flat.Severe, unanswered: // answers that are not heard were taken by what flattened them
		flat.Severe = true
		r.withhold()
		return nil
	default:
		r.widen()
	}
	r.warnHeard(heard)
	if slices.ContainsFunc(heard, func(h heardRound) bool { return h.solo }) {
		r.sayNothingOfOne()
	}
	return r.conclude(s)
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
