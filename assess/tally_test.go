package assess

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns/bank"
)

func TestAnUnknownPhraseSuggestsTheNearest(t *testing.T) {
	phrases := bank.Starter()
	for _, test := range []struct{ law, id, similar, want string }{
		{"two letters changed about", "gangawy", "gangway", `the bank has no phrase "gangawy"; did you mean "gangway"?`},
		{"upper case", "Gangway", "gangway", `the bank has no phrase "Gangway"; did you mean "gangway"?`},
		{"a letter left out", "clav", "clave", `the bank has no phrase "clav"; did you mean "clave"?`},
		{"nothing near", "hornpipe-in-five", "", `the bank has no phrase "hornpipe-in-five"`},
	} {
		t.Run(test.law, func(t *testing.T) {
			report, err := Tally([]Verdict{{"row", ability.Got}, {test.id, ability.Got}}, phrases, Options{})
			var unknown *UnknownPhraseError
			require.ErrorAs(t, err, &unknown)
			assert.Equal(t, UnknownPhraseError{ID: test.id, Similar: test.similar}, *unknown)
			assert.EqualError(t, err, test.want)
			assert.Nil(t, report)
		})
	}
	_, err := Tally([]Verdict{{"row", ability.Got}}, nil, Options{})
	assert.EqualError(t, err, `the bank has no phrase "row"`)
}

func TestTallyStatesATierFromFourVerdicts(t *testing.T) {
	phrases := bank.Starter()
	verdicts := []Verdict{
		{"row", ability.Got},
		{"gangway", ability.Got},
		{"throw", ability.Partly},
		{"clave", ability.Lost},
		{"gangway", ability.Got},
	}
	few, err := Tally(verdicts[:3], phrases, Options{})
	require.NoError(t, err)
	assert.Nil(t, few.Group.Tier)
	assert.Contains(t, codes(few), "few-rounds")

	report, err := Tally(verdicts, phrases, Options{Repertoire: bank.StarterRepertoire(), People: 12})
	require.NoError(t, err)
	require.NotNil(t, report.Group.Tier)
	assert.Equal(t, 5, report.Group.UsableRounds)
	assert.NotEmpty(t, report.Openers)
	assert.Equal(t, "tally", report.Recording.Format)
	assert.NotContains(t, codes(report), "no-answers", "the leader heard answers")
	require.Len(t, report.Rounds, 5)
	last := report.Rounds[4]
	assert.Equal(t, 2, last.Attempt)
	assert.Equal(t, "got", last.Heard)
	assert.Nil(t, last.Share)
	assert.Nil(t, last.Response)
}

func TestBetterVerdictsNeverLowerTheLevel(t *testing.T) {
	phrases := bank.Starter()
	before := -99.0
	for _, heard := range []ability.Verdict{ability.Lost, ability.Partly, ability.Got} {
		report, err := Tally([]Verdict{
			{"row", ability.Got},
			{"gangway", heard},
			{"throw", heard},
			{"clave", heard},
		}, phrases, Options{})
		require.NoError(t, err)
		require.NotNil(t, report.Group.Ability)
		assert.Greater(t, *report.Group.Ability, before, "%v", heard)
		before = *report.Group.Ability
	}
}

func TestNothingHardFollowsALostPhrase(t *testing.T) {
	report, err := Tally([]Verdict{{"row", ability.Got}, {"clave", ability.Lost}}, bank.Starter(), Options{})
	require.NoError(t, err)
	require.NotNil(t, report.NextCall, "two rounds leave the estimate loose")
	assert.Less(t, report.NextCall.Difficulty, report.Rounds[1].Difficulty)
	assert.NotEqual(t, "clave", report.NextCall.Phrase)
}

func TestASessionStatesATierFromTheFourthRoundOn(t *testing.T) {
	s := NewSession(bank.Starter(), Options{Repertoire: bank.StarterRepertoire()})
	for i, h := range []Heard{
		{Phrase: "row", Share: 1},
		{Phrase: "gangway", Share: 0.9},
		{Phrase: "throw", Share: 0.8},
		{Phrase: "load", Verdict: ability.Partly},
	} {
		report, err := s.Add(h)
		require.NoError(t, err)
		assert.Len(t, report.Rounds, i+1)
		assert.Equal(t, i == 3, report.Group.Tier != nil)
		require.NotNil(t, report.NextCall, "while little is known there is a next call")
	}
}

func TestASessionIsWhatATallyOfTheSameWordsSays(t *testing.T) {
	bank := bank.Starter()
	words := []Verdict{
		{"row", ability.Got},
		{"gangway", ability.Got},
		{"throw", ability.Partly},
		{"clave", ability.Lost},
		{"throw", ability.Got},
	}
	whole, err := Tally(words, bank, Options{})
	require.NoError(t, err)
	s := NewSession(bank, Options{})
	var last *Report
	for _, w := range words {
		last, err = s.Add(Heard{Phrase: w.Phrase, Verdict: w.Heard})
		require.NoError(t, err)
	}
	assert.Equal(t, whole.Group, last.Group)
	assert.Equal(t, whole.Rounds, last.Rounds)
}

func TestASessionKeepsNoRoundThatItRefuses(t *testing.T) {
	s := NewSession(bank.Starter(), Options{})
	_, err := s.Add(Heard{Phrase: "hornpipe", Share: 1})
	var unknown *UnknownPhraseError
	require.ErrorAs(t, err, &unknown)
	_, err = s.Add(Heard{Phrase: "row", Share: 1, ShareSD: -3})
	var number *ability.InputError
	require.ErrorAs(t, err, &number)
	report, err := s.Add(Heard{Phrase: "row", Share: 1})
	require.NoError(t, err)
	assert.Len(t, report.Rounds, 1)
	assert.Equal(t, 1, report.Rounds[0].Attempt)
}
