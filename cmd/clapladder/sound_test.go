package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/go-audio/wav"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/assess/plan"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/patterns/bank"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/midifile"
)

// cardFile is the starter card as a file.
func cardFile(t *testing.T) string {
	t.Helper()
	got := execute(t, "", "card", "--json")
	require.Zero(t, got.status, got.stderr)
	return write(t, "card.json", got.stdout)
}

func heard(t *testing.T, args ...string) (phrases []string, report assess.Report) {
	t.Helper()
	got := execute(t, "", append(args, "--json")...)
	require.Zero(t, got.status, got.stderr)
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &report))
	for _, r := range report.Rounds {
		if assert.NotNil(t, r.Phrase) {
			phrases = append(phrases, *r.Phrase)
		}
	}
	return phrases, report
}

// along follows the places of a card, as its reader does.
func along(t *testing.T, card string, way ...string) []string {
	t.Helper()
	data, err := os.ReadFile(card)
	require.NoError(t, err)
	var c plan.Card
	require.NoError(t, json.Unmarshal(data, &c))
	cells := map[string]plan.CardCell{}
	for _, cell := range c.Branch {
		cells[cell.Place] = cell
	}
	var out []string
	for _, call := range c.Opening {
		out = append(out, call.Phrase)
	}
	place := "A1"
	for _, answer := range way {
		cell, ok := cells[place]
		require.True(t, ok, place)
		out = append(out, cell.Phrase)
		place = map[string]string{"got": cell.Got, "lost": cell.Lost}[answer]
	}
	for _, call := range c.Closing {
		out = append(out, call.Phrase)
	}
	return out
}

// A card is played through a loudspeaker and answered; whoever listens hears its phrases and that
// they came back.
func TestACardWithModelAnswersIsHeardRight(t *testing.T) {
	card, folder := cardFile(t), t.TempDir()
	for _, way := range []string{"lost,lost,got,got,lost,got", "got,lost,got,lost,got,lost"} {
		sound, taps := filepath.Join(folder, "warm-up.wav"), filepath.Join(folder, "warm-up.mid")
		got := execute(t, "", "sound", "--card", card, "--way", way, "--answer", "--wav", sound,
			"--midi", taps)
		require.Zero(t, got.status, got.stderr)
		calls := along(t, card, strings.Split(way, ",")...)
		assert.Equal(t, calls, listed(got.stdout))

		phrases, report := heard(t, "score", sound)
		assert.Equal(t, calls, phrases)
		for _, r := range report.Rounds {
			if assert.NotNil(t, r.Response, *r.Phrase) {
				for _, note := range r.Notes {
					assert.InDelta(t, 1, note.Participation, 0.15, *r.Phrase)
				}
			}
		}
		phrases, report = heard(t, "score", "--taps", taps)
		assert.Equal(t, calls, phrases)
		for _, r := range report.Rounds {
			require.NotNil(t, r.Score, *r.Phrase)
			assert.InDelta(t, 1, *r.Score, 0.01, *r.Phrase)
		}
	}
}

// listed takes the phrases out of a list of calls.
func listed(text string) []string {
	var out []string
	for line := range strings.Lines(text) {
		if _, rest, ok := strings.Cut(line, " ("); ok {
			id, _, _ := strings.Cut(rest, ")")
			out = append(out, id)
		}
	}
	return out
}

func TestSoundListsWhatLiesWhereAndHowToScoreIt(t *testing.T) {
	path := filepath.Join(t.TempDir(), "warm-up.wav")
	got := execute(t, "", "sound", "row", "bollard,row", "--repeat", "2", "--tempo", "120", "--wav", path)
	require.Zero(t, got.status, got.stderr)
	assert.Equal(t, "clapladder: wrote "+path+"\n", got.stderr)
	expectFile(t, "sound.txt", got.stdout)

	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	length, err := wav.NewDecoder(f).Duration()
	require.NoError(t, err)
	// A bar of 4/4 lasts 2 s, one of 3/4 1.5 s: count-in, row twice, pause, two bars of bollard
	// twice, pause, row twice.
	assert.InDelta(t, 2+4*2+1.5+4*3+2+4*2, length.Seconds(), 1e-3) // the library counts the header too
}

func TestSoundGoesToStandardOutputWithNothingBesides(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.wav")
	require.Zero(t, execute(t, "", "sound", "bell", "--wav", path).status)
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	got := execute(t, "", "sound", "bell", "--wav", "-")
	assert.Equal(t, string(want), got.stdout)
	assert.Empty(t, got.stderr)
	midi := execute(t, "", "sound", "--rhythm", "x .x X s", "--tempo", "110", "--midi", "-")
	phrase, err := midifile.Read([]byte(midi.stdout), midifile.ReadOptions{})
	require.NoError(t, err)
	assert.True(t, rhythm.MustParse("x .x X s", "4/4", 110).Equal(phrase), phrase.String())
	assert.InDelta(t, 110, phrase.Tempo(), 0.01)
}

func TestEveryCallOfACardGetsAFileOfItsOwn(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "calls")
	got := execute(t, "", "sound", "--card", cardFile(t), "--folder", folder)
	require.Zero(t, got.status, got.stderr)
	assert.Empty(t, got.stderr)
	files, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, files, 1+6*7/2+1)
	assert.Equal(t, len(files), strings.Count(got.stdout, "\n"))
	assert.Contains(t, got.stdout, filepath.Join(folder, "A2.wav")+"  Haul away, let's go (clave)\n")
	alone := filepath.Join(t.TempDir(), "alone.wav")
	require.Zero(t, execute(t, "", "sound", "clave", "--wav", alone).status)
	want, err := os.ReadFile(alone)
	require.NoError(t, err)
	file, err := os.ReadFile(filepath.Join(folder, "A2.wav"))
	require.NoError(t, err)
	assert.True(t, string(want) == string(file), "as if it were rendered alone")
}

func TestSoundRefusesWhatDoesNotGoTogether(t *testing.T) {
	card := cardFile(t)
	for _, test := range []struct {
		args []string
		want string
	}{
		{
			[]string{"--wav", "x.wav"},
			"name phrases of the bank, or give one with --rhythm or a card with --card",
		},
		{
			[]string{"row", "--rhythm", "x x x x", "--wav", "x.wav"},
			"give one of phrases of the bank, --rhythm and --card",
		},
		{[]string{"row"}, "say what to write: --wav or --midi, with a file, or --json"},
		{
			[]string{"row", "--wav", "-", "--json"},
			"--json writes to standard output; name files for sound and MIDI",
		},
		{
			[]string{"row", "--wav", "x.wav", "--midi", "-", "--json"},
			"--json writes to standard output; name files for sound and MIDI",
		},
		{[]string{"row", "--wav", "-", "--midi", "-"}, "only one file can go to standard output"},
		{[]string{"rwo", "--wav", "x.wav"}, `the bank has no phrase "rwo"; did you mean "row"?`},
		{[]string{",", "--wav", "x.wav"}, `name phrases of the bank; "," names none`},
		{[]string{"row", "--meter", "3/4", "--wav", "x.wav"}, "--meter belongs to --rhythm"},
		{
			[]string{"--rhythm", "x", "--bank", "b.toml", "--wav", "x.wav"},
			"--bank is where phrases are looked up",
		},
		{
			[]string{"row", "--way", "got", "--wav", "x.wav"},
			"--way and --folder are about a card; add --card FILE",
		},
		{[]string{"--card", card, "--wav", "x.wav"}, "a card has many ways; choose one with --way, or"},
		{
			[]string{"--card", card, "--folder", "x", "--midi", "x.mid"},
			"--folder writes a WAV file for each call",
		},
		{[]string{"--card", card, "--way", "got,maybe", "--wav", "x.wav"}, `--way: "maybe" is no answer; write got or lost`},
		{
			[]string{"--card", card, "--way", "g,g,g,g,g,g,g", "--wav", "x.wav"},
			"--way has 7 answers, but the card branches only 6 times",
		},
		{[]string{"row", "--repeat", "0", "--wav", "x.wav"}, "--repeat is 0; write a number from 1 to 32"},
		{
			[]string{"row", "--pause", "17", "--wav", "x.wav"},
			"--pause is 17; write a number of bars from 0 to 16",
		},
		{[]string{"row", "--tempo", "5", "--wav", "x.wav"}, "--tempo is 5; write a number from 20 to 400"},
		{
			[]string{"row,row,row", "--tempo", "20", "--repeat", "32", "--wav", "x.wav"},
			"this would last longer than 20 minutes; use fewer phrases or repeats at a time",
		},
	} {
		got := execute(t, "", append([]string{"sound"}, test.args...)...)
		assert.Equal(t, fault.ExitUsage, got.status, test.args)
		assert.True(t, strings.HasPrefix(got.stderr, "clapladder: "+test.want), got.stderr)
		assert.Empty(t, got.stdout, test.args)
		for _, left := range []string{"x.wav", "x.mid", "x"} {
			assert.NoFileExists(t, left)
		}
	}
}

func TestSoundDoesNotOverwriteWhatItReads(t *testing.T) {
	card := cardFile(t)
	before, err := os.ReadFile(card)
	require.NoError(t, err)
	got := execute(t, "", "sound", "--card", card, "--way", "g", "--wav", card)
	assert.Equal(t, fault.ExitUsage, got.status)
	assert.Contains(t, got.stderr, "is read by this command; write to another file")
	after, err := os.ReadFile(card)
	require.NoError(t, err)
	assert.Equal(t, before, after)
}

func TestACardThatCannotBeReadIsABadInput(t *testing.T) {
	bad := write(t, "card.json", "{}")
	got := execute(t, "", "sound", "--card", bad, "--way", "g", "--wav", "x.wav")
	assert.Equal(t, fault.ExitInput, got.status)
	assert.True(t, strings.HasPrefix(got.stderr, "clapladder: "+bad+": this is not a card: "), got.stderr)
	got = execute(t, "", "sound", "--rhythm", "x y", "--wav", "x.wav")
	assert.Equal(t, fault.ExitInput, got.status)
	assert.Contains(t, got.stderr, "--rhythm: column 3")
}

func TestACardCanComeStraightFromABank(t *testing.T) {
	card, folder := cardFile(t), t.TempDir()
	path := filepath.Join(folder, "bank.toml")
	require.NoError(t, os.WriteFile(path, bank.StarterText(), 0o644))
	way := []string{"--way", "got,lost,got", "--json"}
	want := execute(t, "", append([]string{"sound", "--card", card}, way...)...)
	require.Zero(t, want.status, want.stderr)
	for _, from := range []string{path, "starter"} {
		got := execute(t, "", append([]string{"sound", "--card", from}, way...)...)
		require.Zero(t, got.status, got.stderr)
		assert.Equal(t, want.stdout, got.stdout, from)
	}
	got := execute(t, string(bank.StarterText()), append([]string{"sound", "--card", "-"}, way...)...)
	assert.Equal(t, want.stdout, got.stdout, got.stderr)
	got = execute(t, "[[phrase]]\nid = 'x'\n", append([]string{"sound", "--card", "-"}, way...)...)
	assert.Equal(t, 3, got.status)
}
