package main

import (
	"bufio"
	"bytes"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/assess/ability"
	"clapladder.example/patterns/bank"
)

func TestSomebodyAtAKeyboardIsAskedAndMayMistype(t *testing.T) {
	var errs bytes.Buffer
	a := &app{
		ctx: t.Context(), stdin: strings.NewReader("row got\nrow maybe\nbell p\n\nfog got\n"),
		stdout: bufio.NewWriter(io.Discard), stderr: &errs, asks: true,
	}
	verdicts, err := a.ask(bank.Starter(), nil)
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
	a := &app{
		ctx: t.Context(), stdin: strings.NewReader("list\nundo\nGANG g\nbe p\nundo\nb g\nfog\nrow l\nlist\nnext\n?\n\n"),
		stdout: bufio.NewWriter(io.Discard), stderr: &errs, asks: true,
	}
	s := scoring{bank: bank.Starter()}
	verdicts, err := a.ask(s.bank, s.nextWords)
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

func TestProgressAppearsOnlyAfterAMomentAndGoesAway(t *testing.T) {
	path := write(t, "long.wav", strings.Repeat("x", 1000))
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	var errs bytes.Buffer
	p := &progress{File: f, to: &errs, size: 1000, begun: time.Now()}
	part := make([]byte, 250)
	_, err = p.Read(part)
	require.NoError(t, err)
	assert.Empty(t, errs.String(), "nobody has waited yet")
	p.begun = p.begun.Add(-2 * patience)
	for range 2 {
		_, err = p.Read(part)
		require.NoError(t, err)
	}
	assert.Equal(t, "\rlistening: 50 %\rlistening: 75 %", errs.String())
	p.clear()
	assert.True(t, strings.HasSuffix(errs.String(),
		"\r"+strings.Repeat(" ", len("listening: 75 %"))+"\r"), "%q", errs.String())
	_, err = p.Seek(0, io.SeekStart)
	assert.NoError(t, err, "decoders can still seek")
}

func TestNoProgressWhereNobodyLooksOn(t *testing.T) {
	f, err := os.Open(write(t, "a.wav", "x"))
	require.NoError(t, err)
	defer f.Close()
	quiet := &app{}
	r, done := quiet.watch(f)
	assert.Same(t, f, r)
	done()
	live := &app{live: true, stderr: io.Discard}
	r, _ = live.watch(strings.NewReader("piped"))
	assert.IsType(t, &strings.Reader{}, r)
	r, _ = live.watch(f)
	assert.IsType(t, &progress{}, r)
}

func TestDidYouMeanKnowsSlipsOfTheFinger(t *testing.T) {
	names := []string{"gangway", "bell", "fog"}
	for written, want := range map[string]string{
		"gangwya": `; did you mean "gangway"?`, "Gangway": `; did you mean "gangway"?`, "gang": `; did you mean "gangway"?`, "bel": `; did you mean "bell"?`, "mast": "", "": "",
	} {
		assert.Equal(t, want, didYouMean(written, names), written)
	}
}
