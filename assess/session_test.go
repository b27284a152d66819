package assess

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns/bank"
)

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
