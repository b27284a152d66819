package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/sound"
)

// clappedAlone is a recording of one person who claps a phrase once.
func clappedAlone(t *testing.T, notation string) []byte {
	t.Helper()
	p := rhythm.MustParse(notation, "4/4", 96)
	sequence, err := sound.New([]rhythm.Phrase{p}, sound.Options{NoCountIn: true})
	require.NoError(t, err)
	var wav bytes.Buffer
	require.NoError(t, sequence.WriteWAV(&wav))
	return wav.Bytes()
}

func TestAddWritesDownWhatWasClapped(t *testing.T) {
	got := execute(t, string(clappedAlone(t, "x x xx x")), "add", "-")
	require.Zero(t, got.status, got.stderr)
	assert.True(t, strings.HasPrefix(got.stdout,
		"rhythm = \"x x xx x\"\nmeter = \"4/4\", tempo = "), got.stdout)
}

func TestAddKeepsTheBankAndGradesThePhrase(t *testing.T) {
	path := write(t, "lunch.toml", "# mine\n"+lunchBank)
	got := execute(t, "", "add", "--rhythm", "x .x x x", "--tempo", "88", "--to", path, "--id",
		"anchor", "--name", "Drop the anchor", "--tags", "new,short", "--tier", "4")
	require.Zero(t, got.status, got.stderr)
	assert.Equal(t, "clapladder: added anchor to "+path+"\n", got.stderr)
	assert.Contains(t, got.stdout, "Tier ")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(string(text), "# mine\n"+lunchBank), "what was there stays")
	loaded, err := bank.Load(path, text)
	require.NoError(t, err)
	entry, ok := loaded.Find("anchor")
	require.True(t, ok)
	assert.Equal(t, "Drop the anchor", entry.Name)
	assert.Equal(t, []string{"new", "short"}, entry.Tags)
	assert.Equal(t, 4, entry.Tier)
	assert.InDelta(t, 88, entry.Phrase.Tempo(), 1e-9)

	again := execute(t, "", "add", "--rhythm", "x x x x", "--to", path, "--id", "anchor")
	assert.Equal(t, fault.ExitUsage, again.status)
	assert.Equal(t, "clapladder: "+path+" has a phrase \"anchor\" already; choose another --id\n"+
		"Try: clapladder add --help\n", again.stderr)
	same, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(text), string(same))
}

func TestAddAnswersProgramsToo(t *testing.T) {
	got := execute(t, "", "add", "--rhythm", "x .x x x", "--json")
	require.Zero(t, got.status, got.stderr)
	var phrase struct {
		Rhythm, Meter string
		Tier          int
		Difficulty    float64
	}
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &phrase))
	assert.Equal(t, "x .x x x", phrase.Rhythm)
	assert.Equal(t, "4/4", phrase.Meter)
	assert.Equal(t, tierscale.Tier(phrase.Difficulty), phrase.Tier)
}

func TestAddMakesABankWhereThereIsNone(t *testing.T) {
	for _, name := range []string{"new.toml", "new.csv"} {
		bank := filepath.Join(t.TempDir(), name)
		got := execute(t, "", "add", "--rhythm", "x.x .xx", "--meter", "6/8", "--to", bank, "--id", "swell")
		require.Zero(t, got.status, got.stderr)
		graded := execute(t, "", "grade", bank)
		assert.Contains(t, graded.stdout, "swell  x.x .xx  (6/8)", name)
	}
}

func TestAddRefusesWhatItCannotUse(t *testing.T) {
	broken := write(t, "broken.toml", brokenBank)
	for _, test := range []struct {
		args   []string
		status int
		want   string
	}{
		{nil, fault.ExitUsage, "name a file with the phrase, or give it with --rhythm"},
		{[]string{"x.mid", "--rhythm", "x"}, fault.ExitUsage, "give either a file or --rhythm, not both"},
		{
			[]string{"--rhythm", "x x x x", "--to", "b.toml"},
			fault.ExitUsage,
			"--to needs an ID for the phrase; add --id",
		},
		{
			[]string{"--rhythm", "x x x x", "--id", "b"},
			fault.ExitUsage,
			"--id, --name, --tier and --tags are for a bank; add --to BANK",
		},
		{
			[]string{"--rhythm", "x x x x", "--id", "b", "--to", "starter"},
			fault.ExitUsage,
			"--to needs a bank of your own",
		},
		{[]string{"--rhythm", "x q", "--meter", "2/4"}, fault.ExitInput, "--rhythm: column 3: "},
		{[]string{"--rhythm", "x x", "--meter", "7/8"}, fault.ExitInput, "--meter: column 1: "},
		{[]string{"nowhere.mid"}, fault.ExitInput, "nowhere.mid: there is no such file"},
		{[]string{broken}, fault.ExitInput, broken + ": "},
		{
			[]string{"--rhythm", "x x x x", "--id", "b", "--to", broken},
			fault.ExitInput,
			broken + ", line 4, column 15: ",
		},
	} {
		got := execute(t, "", append([]string{"add"}, test.args...)...)
		assert.Equal(t, test.status, got.status, got.stderr)
		assert.True(t, strings.HasPrefix(got.stderr, "clapladder: "+test.want), got.stderr)
		assert.Empty(t, got.stdout)
	}
	for name, content := range map[string]string{
		"MIDI": "MThd\x00\x00",
		"XML":  "<?xml version=\"1.0\"?><html/>", "ZIP": "PK\x03\x04nothing",
	} {
		got := execute(t, content, "add", "-")
		assert.Equal(t, fault.ExitInput, got.status, name)
		assert.True(t, strings.HasPrefix(got.stderr, "clapladder: standard input: "), got.stderr)
		assert.Equal(t, 1, strings.Count(got.stderr, "\n"), got.stderr)
	}
}

func TestExportedFilesComeBackAsTheSamePhrase(t *testing.T) {
	folder := t.TempDir()
	for _, id := range []string{"gangway", "rolling-sea", "tug"} {
		entry, ok := bank.Starter().Find(id)
		require.True(t, ok, id)
		for flag, name := range map[string]string{"--midi": "p.mid", "--musicxml": "p.musicxml"} {
			path := filepath.Join(folder, name)
			got := execute(t, "", "export", id, flag, path)
			require.Zero(t, got.status, got.stderr)
			back := execute(t, "", "add", path)
			require.Zero(t, back.status, back.stderr)
			assert.Contains(t, back.stdout, "rhythm = \""+entry.Phrase.String()+"\"\n", "%s by %s", id, flag)
			assert.Contains(t, back.stdout, "meter = \""+entry.Phrase.Meter().String()+"\", tempo = ", id)
		}
	}
	compressed := filepath.Join(folder, "p.mxl")
	require.Zero(t, execute(t, "", "export", "gangway", "--musicxml", compressed).status)
	data, err := os.ReadFile(compressed)
	require.NoError(t, err)
	assert.True(t, bytes.HasPrefix(data, []byte("PK")))
	assert.Contains(t, execute(t, "", "add", compressed).stdout, "rhythm = \"x x xx x\"")
}

func TestExportOfABankKeepsEveryPhrase(t *testing.T) {
	got := execute(t, "", "export", "--csv", "-")
	require.Zero(t, got.status, got.stderr)
	rows, err := csv.NewReader(strings.NewReader(got.stdout)).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, 1+len(bank.Starter().Entries))
	graded := execute(t, got.stdout, "grade", "-", "--json")
	assert.Equal(t, execute(t, "", "grade", "--json").stdout, graded.stdout, "the CSV means the same bank")
	toml := execute(t, "", "export", "--toml", "-")
	assert.Equal(t, graded.stdout, execute(t, toml.stdout, "grade", "-", "--json").stdout)
	svg := execute(t, "", "export", "gangway", "--svg", "-")
	require.NoError(t, xml.Unmarshal([]byte(svg.stdout), new(struct{})))
}

func TestExportRefusesWhatDoesNotGoTogether(t *testing.T) {
	for _, test := range []struct {
		args []string
		want string
	}{
		{nil, "say what to write: --midi, --musicxml, --svg, --csv or --toml, with a file"},
		{[]string{"--midi", "x.mid"}, "name a phrase; only --csv and --toml write a whole bank"},
		{[]string{"gangway", "--midi", "-", "--svg", "-"}, "only one file can go to standard output"},
		{[]string{"gangwy", "--svg", "-"}, `the bank has no phrase "gangwy"; did you mean "gangway"?`},
	} {
		got := execute(t, "", append([]string{"export"}, test.args...)...)
		assert.Equal(t, fault.ExitUsage, got.status)
		assert.Equal(t, "clapladder: "+test.want+"\nTry: clapladder export --help\n", got.stderr)
	}
}

func TestBurstsListEveryClap(t *testing.T) {
	wav := string(clappedAlone(t, "x x xx x"))
	got := execute(t, wav, "bursts", "-", "--json")
	require.Zero(t, got.status, got.stderr)
	var list []assess.Burst
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &list))
	require.Len(t, list, 5)
	strongest := math.Inf(-1)
	for i, b := range list {
		strongest = math.Max(strongest, b.Power)
		if i > 0 {
			assert.Greater(t, b.Time, list[i-1].Time)
		}
	}
	assert.Zero(t, strongest, "power is relative to the strongest")
	beat := 60.0 / 96
	assert.InDelta(t, beat, list[1].Time-list[0].Time, 0.05)
	assert.InDelta(t, beat/2, list[3].Time-list[2].Time, 0.05)

	rows, err := csv.NewReader(strings.NewReader(execute(t, wav, "bursts", "-", "--csv").stdout)).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, []string{"time_s", "power_db", "width_ms", "confidence"}, rows[0])
	assert.Len(t, rows, 6)
	text := execute(t, wav, "bursts", "-")
	assert.Contains(t, text.stdout, "\n5 bursts. Power is relative to the strongest burst")
	bad := execute(t, "no sound", "bursts", "-")
	assert.Equal(t, fault.ExitInput, bad.status)
	assert.True(t, strings.HasPrefix(bad.stderr, "clapladder: standard input: "), bad.stderr)
}
