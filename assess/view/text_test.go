package view

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/assess/plan"
	"clapladder.example/assess/view/internal/wording"
)

func TestTextOfAReport(t *testing.T) {
	expectFile(t, "report-unicode.txt", text(t, sample(), Style{Unicode: true}))
	expectFile(t, "report-ascii.txt", text(t, sample(), Style{}))
	expectFile(t, "report-colour.txt", text(t, sample(), Style{Unicode: true, Colour: true, Width: 60}))
}

func TestTextKeepsToTheWidth(t *testing.T) {
	for _, width := range []int{40, 60, 80, 120} {
		for line := range strings.Lines(text(t, sample(), Style{Unicode: true, Width: width})) {
			assert.LessOrEqual(t, wording.Width(strings.TrimRight(line, "\n")), width, line)
		}
	}
}

func TestASCIITextIsASCII(t *testing.T) {
	for _, r := range text(t, sample(), Style{}) {
		require.Less(t, r, rune(128), "%q", r)
	}
}

func TestNothingIsEverSaidInDecibelsOrAboutOnePerson(t *testing.T) {
	for _, style := range []Style{{}, {Unicode: true}} {
		got := strings.ToLower(text(t, sample(), style))
		for _, word := range []string{
			" db", "decibel", "loud", "one person", "somebody is",
			"worst", "best clapper",
		} {
			assert.NotContains(t, got, word)
		}
		assert.Contains(t, strings.Join(strings.Fields(got), " "), strings.ToLower(Caution),
			"the caution stands beside every result")
	}
}

func TestColourIsNeverTheOnlySign(t *testing.T) {
	plain := text(t, sample(), Style{Unicode: true})
	coloured := text(t, sample(), Style{Unicode: true, Colour: true})
	assert.Contains(t, coloured, "\x1b[1m")
	assert.Equal(t, plain, strings.NewReplacer("\x1b[1m", "", "\x1b[2m", "", "\x1b[0m", "").Replace(coloured))
}

func TestFirstThreeLinesAnswerOrSayWhatToDo(t *testing.T) {
	none, fewRounds, unanswered, belowBank, noPieces := sample(), sample(), sample(), sample(), sample()
	none.Rounds, none.Group, none.Openers = nil, assess.Group{}, nil
	fewRounds.Group = assess.Group{UsableRounds: 3}
	unanswered.Rounds, unanswered.Group, unanswered.Openers = unanswered.Rounds[4:5], assess.Group{}, nil
	belowBank.Group.Tier, belowBank.Group.TierProbabilities = new(0), []float64{0.2, 0, 0}
	belowBank.Openers = belowBank.Openers[:1]
	noPieces.Openers = nil
	for _, test := range []struct {
		name   string
		report *assess.Report
		want   []string
	}{
		{"a stated tier", sample(), []string{
			"Tier 3        of 6: most likely (72 %); tier 4: 20 %, tier 2: 6 %",
			"Open with     Along the Ropewalk (tier 3), 82 % likely to work",
			"Fall back to  Along the Ropewalk, part wheel (tier 1), over 99 % likely to work",
		}},
		{"no round at all", none, []string{
			"No tier yet   no call with an answer was heard in 1:11 minutes",
			"Do now        phone nearer; call plain beats, let them answer, record again",
			"Until then    play what everybody can clap: plain beats on 1, 2, 3, 4",
		}},
		{"too few rounds", fewRounds, []string{
			"No tier yet   3 rounds could be used; it takes at least 4",
			"Do now        call a few phrases, the first on plain beats, and score again",
			"Until then    open with Slipway March (tier 2), 97 % likely to work",
		}},
		{"calls that nobody answered", unanswered, []string{
			"No tier yet   1 call heard, but no answer",
			"Do now        leave time to answer, phone between you and them; record again",
			"Until then    play what everybody can clap: plain beats on 1, 2, 3, 4",
		}},
		{"below the bank", belowBank, []string{
			"Below tier 1  of 3: most likely (80 %); tier 1: 20 %",
			"Open with     Slipway March (tier 2), 97 % likely to work",
			"Fall back to  plain beats on 1, 2, 3, 4",
		}},
		{"no repertoire", noPieces, []string{
			"Tier 3        of 6: most likely (72 %); tier 4: 20 %, tier 2: 6 %",
			"Open with     no repertoire was given",
			"Fall back to  plain beats on 1, 2, 3, 4",
		}},
	} {
		t.Run(test.name, func(t *testing.T) {
			lines := strings.Split(text(t, test.report, Style{Width: 100}), "\n")
			assert.Equal(t, test.want, lines[:3])
		})
	}
}

func TestWithoutARecordingNobodyIsToldToRecordAgain(t *testing.T) {
	heard := assess.Round{Heard: "partly", Usable: true}
	silent := assess.Round{Notation: "x x x x", Meter: "4/4"}
	for law, test := range map[string]struct {
		rounds []assess.Round
		usable int
		want   []string
	}{
		"heard by ear is answered": {
			[]assess.Round{heard, heard, heard},
			3,
			[]string{
				"No tier yet   3 rounds could be used; it takes at least 4",
				"Do now        call 1 phrase more and take down what comes back",
			},
		},
		"one heard": {
			[]assess.Round{heard},
			1,
			[]string{
				"No tier yet   1 round could be used; it takes at least 4",
				"Do now        call 3 phrases more and take down what comes back",
			},
		},
		"calls alone": {
			[]assess.Round{silent, silent},
			0,
			[]string{
				"No tier yet   2 calls, but no answer",
				"Do now        take the answers down too: they say what the group can do",
			},
		},
		"nothing": {nil, 0, []string{
			"No tier yet   there is no round yet",
			"Do now        call plain beats first, then a few phrases",
		}},
	} {
		for _, format := range []string{"tally", "taps", "session"} {
			got := text(t, &assess.Report{
				Recording: assess.Recorded{Format: format},
				Rounds:    test.rounds, Group: assess.Group{UsableRounds: test.usable},
			}, Style{Width: 100})
			assert.Equal(t, test.want, strings.Split(got, "\n")[:2], law)
		}
	}
}

func TestARoundJudgedByEarShowsTheVerdict(t *testing.T) {
	r := sample()
	r.Rounds = []assess.Round{{
		Phrase: new("bell"), Name: "Ring the bell now", Attempt: 1,
		Confidence: 1, Notation: "x x x x", Meter: "4/4", Difficulty: 1, Heard: "partly",
		Usable: true, Call: assess.Played{Tempo: 96},
	}}
	got := text(t, r, Style{})
	assert.Contains(t, got, " 1  Ring the bell now (bell) ")
	assert.Contains(t, got, "  tier 1  partly got it\n    x x x x\n    4/4 at 96\n")
	assert.NotContains(t, got, "nobody answered")
	assert.NotContains(t, got, "called at")
}

func TestAHintIsGivenOnce(t *testing.T) {
	r := sample()
	r.Rounds[1].Errors = r.Rounds[2].Errors
	got := text(t, r, Style{})
	assert.Equal(t, 1, strings.Count(got, "step the pulse while they answer"))
	assert.Equal(t, 2, strings.Count(got, "Answered 4 % faster than the call."))
}

func TestTextReportsAFullDisk(t *testing.T) {
	assert.ErrorIs(t, Text(brokenWriter{}, sample(), Style{}), errFull)
}

func ExampleText() {
	tier, level := 3, 3.4
	report := &assess.Report{
		Group: assess.Group{
			Tier: &tier, Ability: &level, Comfort: 0.7, UsableRounds: 8,
			TierProbabilities: []float64{0.02, 0.2, 0.7, 0.08},
		},
		Openers: []assess.Opener{
			{
				Name: "Along the Ropewalk", Role: plan.Main, Tier: 3, Chance: 0.84,
				Why: "the hardest that most should manage",
			},
			{
				Name: "Along the Ropewalk", Part: "wheel", Role: plan.Fallback, For: plan.Main,
				Tier: 1, Chance: 0.97,
			},
		},
	}
	var b strings.Builder
	if err := Text(&b, report, Style{}); err != nil {
		fmt.Println(err)
	}
	for line := range strings.Lines(b.String()) {
		if strings.TrimSpace(line) == "" {
			break
		}
		fmt.Print(line)
	}
	// Output:
	// Tier 3        of 4: most likely (70 %); tier 2: 20 %, tier 4: 8 %
	// Open with     Along the Ropewalk (tier 3), 84 % likely to work
	// Fall back to  Along the Ropewalk, part wheel (tier 1), 97 % likely to work
}

func TestAFlattenedRecordingBlamesThePhoneNotTheLeader(t *testing.T) {
	for kind, want := range map[string]string{
		"overdriven": "too loud for the phone", "clipped": "too loud for the phone",
		"levelled": "levels loud and soft", "gain-riding": "levels loud and soft",
	} {
		r := &assess.Report{Recording: assess.Recorded{
			Format: "wav", Duration: 90, Flattened: &assess.Flattened{
				Kind: kind, Severity: 0.9,
				Severe: true,
			},
		}}
		got := text(t, r, Style{Width: 120})
		lines := strings.SplitN(got, "\n", 4)
		assert.Contains(t, lines[0], want)
		assert.Contains(t, lines[1], "record again")
		assert.NotContains(t, got, "leave time to answer")
	}
}
