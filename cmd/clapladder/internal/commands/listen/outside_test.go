package listen

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/assess"
	"clapladder.example/cmd/clapladder/internal/console"
)

func TestCallsOutsideTheBankComeWithTheCommandThatAddsThem(t *testing.T) {
	bell := "bell"
	rounds := []assess.Round{
		{Phrase: &bell, Notation: "x x x x", Meter: "4/4"},
		{Notation: "x.x .xx", Meter: "6/8", Call: assess.Played{Tempo: 61.2}},
		{Notation: "x .x | x x", Meter: "2/4", Call: assess.Played{Tempo: 95.6}},
		{Notation: "x .x | x x", Meter: "2/4", Call: assess.Played{Tempo: 97}},
	}
	for _, test := range []struct{ law, file, want string }{
		{"to a bank to be made where the starter bank is in use", console.Starter, "my-bank.toml"},
		{"to one's own bank", "tide bank.toml", "'tide bank.toml'"},
	} {
		t.Run(test.law, func(t *testing.T) {
			report := &assess.Report{Rounds: rounds, Warnings: []assess.Warning{
				{Code: "loose", Text: "Other."}, {Code: "not-in-bank", Text: "3 calls were not in the bank."},
			}}
			s := scoring{chosen: test.file != console.Starter, file: test.file}
			s.sayHowToAdd(report)
			assert.Equal(t, "Other.", report.Warnings[0].Text)
			assert.Equal(t, "3 calls were not in the bank. That is: clapladder add --rhythm 'x .x | x x' "+
				"--meter 2/4 --tempo 96 --to "+test.want+" --id ID.", report.Warnings[1].Text)
		})
	}
}
