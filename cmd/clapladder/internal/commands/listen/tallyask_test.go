package listen

import (
	"bufio"
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/assess/ability"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/patterns/bank"
)

func TestSomebodyAtAKeyboardIsAskedAndMayMistype(t *testing.T) {
	var errs bytes.Buffer
	con := &console.Console{
		Ctx: t.Context(), Stdin: strings.NewReader("row got\nrow maybe\nbell p\n\nfog got\n"),
		Stdout: bufio.NewWriter(io.Discard), Stderr: &errs, Asks: true,
	}
	verdicts, err := ask(con, bank.Starter(), nil)
	require.NoError(t, err)
	assert.Equal(t, []assess.Verdict{
		{Phrase: "row", Heard: ability.Got},
		{Phrase: "bell", Heard: ability.Partly},
	}, verdicts, "an empty line ends")
	assert.True(t, strings.HasPrefix(errs.String(), "Write a call and how it went"), errs.String())
	assert.Contains(t, errs.String(), `"maybe" is no verdict`)
	assert.Equal(t, 4, strings.Count(errs.String(), "> "))
}

func TestAConversationListsTakesBackAndKnowsBeginnings(t *testing.T) {
	var errs bytes.Buffer
	con := &console.Console{
		Ctx: t.Context(), Stdin: strings.NewReader("list\nundo\nGANG g\nbe p\nundo\nb g\nfog\n" +
			"row l\nlist\nnext\n?\n\n"),
		Stdout: bufio.NewWriter(io.Discard), Stderr: &errs, Asks: true,
	}
	s := scoring{bank: bank.Starter()}
	verdicts, err := ask(con, s.bank, s.nextWords)
	require.NoError(t, err)
	assert.Equal(t, []assess.Verdict{
		{Phrase: "gangway", Heard: ability.Got},
		{Phrase: "row", Heard: ability.Lost},
	}, verdicts)
	for _, part := range []string{
		"nothing yet\n", "there is nothing to take back\n", "  1  gangway got\n", "took back: bell partly\n", `"b" may be bell, bob, `,
		"how did fog go? write: fog got, fog partly or fog lost\n",
		"  1  gangway got\n  2  row lost\n", "next, if you like: ",
	} {
		assert.Contains(t, errs.String(), part)
	}
	assert.Equal(t, 2, strings.Count(errs.String(), "list shows what you wrote"))
}
