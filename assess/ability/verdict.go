package ability

// A verdict is read with Samejima's graded response model (1969): the chance of
// judging step k or better is logistic(a(x−b_k)), here with the heard share as
// the trait x, the two cuts below as b, and a steepness that matches the error
// of judging a share by ear.
//
// The cuts say what leaders mean by their words and are our choice, no source:
// "got" is most of the room, "lost" less than a third.
const (
	cutPartly = 0.35
	cutGot    = 0.70
)

// Verdict is a leader's judgement of a response by ear.
type Verdict uint8

// The verdicts. NoVerdict means that Share holds the observation.
const (
	NoVerdict Verdict = iota
	Lost
	Partly
	Got
)

// String returns "lost", "partly", "got" or "".
func (v Verdict) String() string {
	switch v {
	case Lost:
		return "lost"
	case Partly:
		return "partly"
	case Got:
		return "got"
	}
	return ""
}

// ParseVerdict reads what [Verdict.String] writes; any other text gives NoVerdict.
func ParseVerdict(text string) Verdict {
	for _, v := range []Verdict{Lost, Partly, Got} {
		if v.String() == text {
			return v
		}
	}
	return NoVerdict
}

// Share is the share of a group that a verdict stands for, 0 to 1: the middle of what the word
// means. It is 0 for NoVerdict.
func (v Verdict) Share() float64 {
	switch v {
	case Lost:
		return cutPartly / 2
	case Partly:
		return (cutPartly + cutGot) / 2
	case Got:
		return (cutGot + 1) / 2
	}
	return 0
}
