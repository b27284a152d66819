package assess

import (
	"context"
	"maps"
	"math"
	"slices"

	"clapladder.example/assess/internal/exchange"
	"clapladder.example/assess/internal/hear"
	"clapladder.example/assess/internal/onset"
)

// When a report so far is made, in frames of the envelope. It costs what the frames looked at cost,
// so it waits for a pause.
const (
	leastPause = 6 * onset.FrameRate / 10 // longer than a beat of a phrase in most answers
	leastWait  = 3 * onset.FrameRate / 2  // between two reports so far
	mostWait   = 5 * onset.FrameRate / 2  // where nobody pauses
	recent     = 20 * onset.FrameRate     // what "loud" is compared with
	loudAbove  = 0.05                     // of the loudest recent power: −13 dB, above talk between rounds
	faintAbove = 0.003                    // −25 dB: a group that is faint beside its leader

	// What is looked at again: once it is longer than mostAgain, rounds are settled until keepAgain
	// are left.
	mostAgain = 180 * onset.FrameRate
	keepAgain = 120 * onset.FrameRate

	fewRounds = 4 // up to here rounds are shown without further evidence

	answerTail = 0.4 // seconds that must be heard after the last note of an answer, for it to be over
	answerWait = 8.0 // seconds within which a call may still be answered
)

// soFar is what is known of a recording that still goes on.
type soFar struct {
	scale   *scale
	source  recorded
	growing *onset.Growing

	loud   int // frame of the last loud sound
	faint  int // and of the last that is at least faint
	looked int // frame up to which sound was looked at
	begin  int // frame from which it is looked at again

	settled  []Round // before begin, with what they tell and, once that was worked out, their levels
	attempts map[string]int

	last *Report
}

func newSoFar(s *scale, source recorded) *soFar {
	s.From, s.To = 0, 0 // all that comes in is heard
	return &soFar{scale: s, source: source, growing: onset.NewGrowing(), attempts: map[string]int{}}
}

// take hears mono samples and reports where there is news. Whether there is does not depend on the
// size of the pieces, but for pieces that are longer than the pause after an answer.
func (f *soFar) take(ctx context.Context, samples []float32) (*Report, error) {
	const piece = onset.SampleRate / 8
	var news *Report
	for len(samples) > 0 {
		n := min(len(samples), piece)
		before := f.growing.Frames()
		f.growing.Add(samples[:n])
		samples = samples[n:]
		if !f.due(before) {
			continue
		}
		report, err := f.look(ctx)
		if err != nil {
			return nil, err
		}
		if report != nil {
			news = report
		}
	}
	return news, ctx.Err()
}

// due reports whether it is time to look again, after frames were added to those before.
func (f *soFar) due(before int) bool {
	now := f.growing.Frames()
	if now == before {
		return false
	}
	loudest := f.growing.Loudest(now-recent, now)
	latest := f.growing.Loudest(before, now)
	if latest > loudAbove*loudest {
		f.loud = now
	}
	if latest > faintAbove*loudest {
		f.faint = now
	}
	waited := now - f.looked
	return f.loud > f.looked && now-f.loud >= leastPause && waited >= leastWait ||
		f.faint > f.looked && waited >= mostWait
}

// look makes the report so far; nil where nothing new is known.
func (f *soFar) look(ctx context.Context) (*Report, error) {
	now := f.growing.Frames()
	f.looked = now
	heard, err := f.hear(ctx)
	if err != nil {
		return nil, err
	}
	if now-f.begin > mostAgain && f.settle(heard, now-keepAgain) {
		if heard, err = f.hear(ctx); err != nil {
			return nil, err
		}
	}
	report := f.scale.recorded(f.source)
	report.Provisional = true
	report.Rounds = append(report.Rounds, f.settled...)
	report.add(f.over(heard, now), maps.Clone(f.attempts))
	shift(report.Rounds[len(f.settled):], f.start())
	if err := report.judge(f.scale, heard); err != nil {
		return nil, err
	}
	for i := range f.settled {
		told := report.Rounds[i]
		f.settled[i].Level, f.settled[i].LevelSD = told.Level, told.LevelSD
		f.settled[i].LevelInterval = told.LevelInterval
	}
	if len(report.Rounds) == 0 || f.last != nil && sameNews(f.last, report) {
		return nil, nil
	}
	f.last = report
	return report, nil
}

// hear is the rounds from begin on; times count from there. While there are few, they are shown
// before there is evidence that it is call and response at all, for nothing is stated of the group
// yet.
func (f *soFar) hear(ctx context.Context) ([]heardRound, error) {
	o := f.scale.findOptions()
	o.Marks = nil // they belong to a finished recording
	if f.begin > 0 {
		o.Order = nil
	}
	analysis := f.growing.Since(f.begin).WithoutEchoes()
	clear, found, err := hear.Rounds(ctx, analysis, f.scale.templates(), o)
	if err != nil {
		return nil, err
	}
	if len(f.settled)+len(found) > fewRounds {
		found = exchange.Judge(analysis, found).Keep(found)
	}
	return f.scale.measured(clear, found), nil
}

func (f *soFar) start() float64 { return float64(f.begin) * onset.FrameSeconds }

// over are the rounds that nothing can be added to: the last call may be waiting for its answer,
// and the answer may go on.
func (f *soFar) over(heard []heardRound, now int) []heardRound {
	until := float64(now-f.begin) * onset.FrameSeconds
	for len(heard) > 0 {
		last := heard[len(heard)-1]
		over := last.Call.End()+answerWait < until
		if last.Result != nil {
			over = lastNote(last)+answerTail < until
			if last.Round.Attempt > 1 { // a repeated answer may turn out to be the next call
				over = lastNote(last)+answerWait < until
			}
		}
		if over {
			break
		}
		heard = heard[:len(heard)-1]
	}
	return heard
}

// lastNote is where the last note of an answer belongs, in seconds; bars often end in silence that
// nobody waits for.
func lastNote(h heardRound) float64 {
	if n := len(h.Result.Notes); n > 0 {
		return h.Result.Notes[n-1].Expected
	}
	return h.Result.End
}

// settle lets rounds that began before a frame be as they are, and moves begin to the first that
// didn't; false where it can't.
func (f *soFar) settle(heard []heardRound, before int) bool {
	until := float64(before-f.begin) * onset.FrameSeconds
	n := 0
	for n < len(heard) && heard[n].Start() < until {
		n++
	}
	begin := before
	if n < len(heard) {
		begin = f.begin + int((heard[n].Start()-1)/onset.FrameSeconds)
	}
	if begin <= f.begin {
		return false
	}
	settled := &Report{}
	settled.add(heard[:n], f.attempts)
	shift(settled.Rounds, f.start())
	f.settled = append(f.settled, settled.Rounds...)
	f.begin = begin
	return true
}

// finish reports on the whole.
func (f *soFar) finish(ctx context.Context) (*Report, error) {
	return f.scale.recording(ctx, f.source, f.growing.Finish())
}

// What counts as news: less is not seen in what people are told.
const (
	shareNews  = 0.05
	chanceNews = 0.03
)

// sameNews reports whether two reports so far tell people the same.
func sameNews(a, b *Report) bool {
	near := func(x, y, by float64) bool { return math.Abs(x-y) < by }
	return slices.EqualFunc(a.Rounds, b.Rounds, func(x, y Round) bool {
		return equal(x.Phrase, y.Phrase) && x.Notation == y.Notation && x.Usable == y.Usable &&
			(x.Share == nil) == (y.Share == nil) && (x.Share == nil || near(*x.Share, *y.Share, shareNews))
	}) && equal(a.Group.Tier, b.Group.Tier) &&
		slices.EqualFunc(a.Group.TierProbabilities, b.Group.TierProbabilities, func(x,
			y float64,
		) bool {
			return near(x, y, chanceNews)
		}) &&
		(a.NextCall == nil) == (b.NextCall == nil) && (a.NextCall == nil ||
		a.NextCall.Phrase == b.NextCall.Phrase)
}

// equal reports whether both are nil or what they point to is equal.
func equal[T comparable](x, y *T) bool {
	return (x == nil) == (y == nil) && (x == nil || *x == *y)
}
