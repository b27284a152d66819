package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/bank"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/midifile"
	"clapladder.example/rhythm/musicxml"
)

// reader is a way into the program: a command that reads a file of some kind, whose name takes the
// place of "@".
type reader struct {
	kind     string
	commands []string
	good     [][]byte // valid files of the kind
}

func readers(t *testing.T) []reader {
	file := func(path string) []byte {
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		return data
	}
	var sounds [][]byte
	names, err := filepath.Glob("../../assess/audio/testdata/claps*")
	require.NoError(t, err)
	for _, name := range names {
		sounds = append(sounds, file(name))
	}
	sounds = append(sounds, clappedAlone(t, "x x xx x")[:60_000])
	phrase := rhythm.MustParse("x xx .x x", "4/4", 96)
	var midi, score, packed bytes.Buffer
	require.NoError(t, midifile.Write(&midi, phrase, midifile.WriteOptions{Answer: true}))
	require.NoError(t, musicxml.Write(&score, phrase, musicxml.WriteOptions{Title: "Mind out"}))
	require.NoError(t, musicxml.Write(&packed, phrase, musicxml.WriteOptions{Compressed: true}))
	sheet, err := bank.Starter().EncodeCSV(',')
	require.NoError(t, err)
	report := execute(t, "", "tally", "row=got", "bell=got", "fog=partly", "load=lost", "--json").stdout
	return []reader{
		{"recording", []string{"score @", "bursts @", "add @"}, sounds},
		{
			"bank",
			[]string{
				"grade @", "check @", "respace @", "card @", "export --bank @ --csv -",
				"show ferry --bank @", "add --rhythm xxxx --meter 1/4 --id zz --to @",
			},
			[][]byte{[]byte(lunchBank), bank.StarterText()[:3000], sheet[:3000]},
		},
		{
			"repertoire",
			[]string{"grade --repertoire @", "check @", "pick --tier 3 --repertoire @"},
			[][]byte{bank.StarterRepertoireText()[:4000]},
		},
		{"taps", []string{"score --taps @"}, [][]byte{[]byte(fourPlainBeats), midi.Bytes()}},
		{"score", []string{"add @"}, [][]byte{midi.Bytes(), score.Bytes(), packed.Bytes()}},
		{"report", []string{"pick @"}, [][]byte{[]byte(report)}},
		{"history", []string{
			"history show --history @", "history trend x --history @",
			"history export --history @", "learn --history @",
			"tally row=got --save x --history @",
		}, [][]byte{[]byte(term())}},
		{
			"results",
			[]string{"learn --results @"},
			[][]byte{[]byte("phrase,share,group\nrow,0.9,a\nbell,0.5,a\nfog,0.2,b\n")},
		},
		{"marks", []string{"score ok.wav --marks @"}, [][]byte{[]byte("1.0\t2.0\trow\n3\t4\tbell\n")}},
	}
}

// mutations of a file, always the same: cut short, blanked, with numbers that lie, with parts out
// of order or of another file.
func mutations(random *rand.Rand, good, other []byte) [][]byte {
	var out [][]byte
	for _, part := range []float64{0.01, 0.1, 0.35, 0.6, 0.9} {
		out = append(out, good[:int(part*float64(len(good)))])
	}
	out = append(out, good[:len(good)-1])
	change := func(f func(b []byte)) {
		b := bytes.Clone(good)
		f(b)
		out = append(out, b)
	}
	at := func(b []byte) []byte { return b[random.IntN(max(1, len(b)-4)):] }
	for _, number := range []string{
		"\xff\xff\xff\xff", "\x7f\xff\xff\xff", "\x00\x00\x00\x00",
		"\x00\x00\x00\x80", "9999", "-1e9", "\"'\n[", "\xf0\x9f\x92\xa3", "\x1b[2J",
	} {
		change(func(b []byte) { copy(at(b), number) })
		change(func(b []byte) { copy(at(b[:min(len(b), 64)]), number) }) // headers hold the lengths
	}
	change(func(b []byte) { clear(b[len(b)/4 : len(b)/2]) })
	change(func(b []byte) {
		for range 1 + len(b)/50 {
			b[random.IntN(len(b))] ^= byte(1 << random.IntN(8))
		}
	})
	half := len(good) / 2
	return append(out,
		slices.Concat(good[half:], good[:half]), slices.Concat(good, good),
		slices.Concat(good[:half], other[min(len(other), half):]),
		slices.Concat(good[:min(64, half)], other),
		slices.Concat([]byte("\xef\xbb\xbf"), good), slices.Concat([]byte("\xff\xfe"), good),
		slices.Concat(good[:half], bytes.Repeat(good[half:min(len(good), half+16)], 5000)),
	)
}

// crafted files aim at one weakness each. They go through the ways into the program.
func crafted(t *testing.T) map[string][]byte {
	zipped := func(name string, size int, fill string) []byte {
		var b bytes.Buffer
		w := zip.NewWriter(&b)
		f, err := w.Create(name)
		require.NoError(t, err)
		block := strings.Repeat(fill, 1+(64<<10)/len(fill))
		for n := 0; n < size; n += len(block) {
			_, err = io.WriteString(f, block)
			require.NoError(t, err)
		}
		require.NoError(t, w.Close())
		return b.Bytes()
	}
	const (
		head  = "[[phrase]]\nid = \"a\"\nmeter = \"4/4\"\n"
		score = `<?xml version="1.0"?><score-partwise version="4.0"><part-list><score-part id="P1"><part-name>H</part-name></score-part></part-list><part id="P1"><measure number="1"><attributes><divisions>`
	)
	wav := func(format string) string {
		return "RIFF\xff\xff\xff\x7fWAVEfmt \x10\x00\x00\x00" + format + "data\xf0\xff\xff\x7f"
	}
	texts := map[string]string{
		"empty": "", "one byte": "x", "only zeros": strings.Repeat("\x00", 5000),
		"line without end": strings.Repeat("y", 3<<20), "only line breaks": strings.Repeat("\n", 1<<20),
		"deep arrays":    "a = " + strings.Repeat("[", 200_000),
		"deep tables":    "[" + strings.Repeat("a.", 100_000) + "b]\n",
		"deep inline":    "a = " + strings.Repeat("{a = ", 100_000),
		"deep JSON":      `{"schema":` + strings.Repeat("[", 500_000),
		"deep object":    `{"schema":"clapladder/report/1","group":` + strings.Repeat(`{"a":`, 300_000),
		"giant number":   head + "tempo = 1" + strings.Repeat("0", 100_000) + "\nrhythm = \"x x x x\"\n",
		"infinite tempo": head + "tempo = inf\nrhythm = \"x x x x\"\n",
		"no number":      head + "tempo = nan\ndifficulty = nan\nrhythm = \"x x x x\"\n",
		"giant tier":     head + "tier = 9223372036854775807\nrhythm = \"x x x x\"\n",
		"giant metre":    "[[phrase]]\nid = \"a\"\nmeter = \"999999999/1\"\nrhythm = \"x\"\n",
		"endless rhythm": head + "rhythm = \"" + strings.Repeat("x x x x | ", 100_000) + "\"\n",
		"endless beat":   head + "rhythm = \"" + strings.Repeat("x", 1_000_000) + "\"\n",
		"many phrases":   strings.Repeat("[[phrase]]\nid=\"a\"\nmeter=\"1/4\"\nrhythm=\"x\"\n", 20_000),
		"same key again": head + strings.Repeat("rhythm = \"x x x x\"\n", 50_000),
		"endless cell":   "id,meter,rhythm\na,4/4,\"" + strings.Repeat("x ", 1<<20),
		"many columns":   strings.Repeat("a,", 500_000) + "\n",
		"many rows":      "round,role,time_s\n" + strings.Repeat("1,call,1\n", 200_000),
		"many rounds": func() string {
			var b strings.Builder
			b.WriteString("round,role,time_s\n")
			for i := range 100_000 {
				fmt.Fprintf(&b, "%d,call,%d\n", i, i)
			}
			return b.String()
		}(),
		"giant times": "round,role,time_s\n1,call,1e308\n1,call,-1e308\n",
		"late times":  "round,role,time_s\n1,call,0\n1,call,999999\n1,response,1000000\n",
		"strokes at once": "round,role,time_s\n" + strings.Repeat("1,call,1\n", 150) +
			strings.Repeat("1,response,2\n", 150),
		"terminal codes":       "[[phrase]]\nid = \"\\u001b[2J\"\nname = \"\x1b]0;x\x07\"\nmeter = \"4/4\"\nrhythm = \"x x x x\"\n",
		"deep score":           score + "4</divisions></attributes>" + strings.Repeat("<note>", 300_000),
		"endless element":      "<?xml version=\"1.0\"?><score-partwise " + strings.Repeat("a='b' ", 300_000),
		"entities in entities": `<?xml version="1.0"?><!DOCTYPE score-partwise [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]><score-partwise>&c;</score-partwise>`,
		"outside entity":       `<?xml version="1.0"?><!DOCTYPE score-partwise [<!ENTITY a SYSTEM "file:///etc/passwd">]><score-partwise><part>&a;</part></score-partwise>`,
		"giant divisions": score +
			"99999999999</divisions></attributes><note><duration>1</duration></note></measure></part></score-partwise>", "no divisions": score + "0</divisions></attributes><note><duration>1</duration></note></measure></part></score-partwise>",
		"giant measure": score + "1</divisions></attributes>" +
			strings.Repeat("<note><rest/><duration>2147483647</duration></note>", 100) +
			"</measure></part></score-partwise>",
		"MIDI of tracks": "MThd\x00\x00\x00\x06\x00\x01\xff\xff\x00\x60" +
			strings.Repeat("MTrk\x00\x00\x00\x00", 65_535),
		"MIDI that lies":     "MThd\x00\x00\x00\x06\x00\x01\x00\x01\x00\x60MTrk\xff\xff\xff\xff\x00\x90\x3c\x40",
		"MIDI without time":  "MThd\x00\x00\x00\x06\x00\x01\x00\x01\x00\x00MTrk\x00\x00\x00\x04\x00\xff\x2f\x00",
		"MIDI far apart":     "MThd\x00\x00\x00\x06\x00\x01\x00\x01\x00\x01MTrk\x00\x00\x00\x14\xff\xff\xff\x7f\x90\x3c\x40\xff\xff\xff\x7f\x90\x3c\x40\xff\xff\xff\x7f\xff\x2f\x00",
		"WAV of no channel":  wav("\x01\x00\x00\x00\x44\xac\x00\x00\x00\x00\x00\x00\x00\x00\x10\x00"),
		"WAV of channels":    wav("\x01\x00\xff\xff\x44\xac\x00\x00\x00\x00\x00\x00\xff\xff\x08\x00"),
		"WAV of no rate":     wav("\x01\x00\x01\x00\x00\x00\x00\x00\x00\x00\x00\x00\x02\x00\x10\x00"),
		"WAV of no bits":     wav("\x01\x00\x01\x00\x44\xac\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00"),
		"WAV of nothing":     wav("\x01\x00\x01\x00\x44\xac\x00\x00\x88\x58\x01\x00\x02\x00\x10\x00"),
		"FLAC of claims":     "fLaC\x84\xff\xff\xff",
		"ID3 of claims":      "ID3\x04\x00\x00\x7f\x7f\x7f\x7f",
		"MP4 of claims":      "\x00\x00\x00\x10ftypM4A \x00\x00\x00\x00\x00\x00\x00\x01moov\x7f\xff\xff\xff\xff\xff\xff\xff",
		"MP4 in itself":      "\x00\x00\x00\x10ftypM4A \x00\x00\x00\x00" + strings.Repeat("\x00\x00\xff\xffmoov\x00\x00\xff\xf7trak", 2000),
		"Ogg of claims":      "OggS\x00\x02" + strings.Repeat("\xff", 300),
		"report of claims":   `{"schema":"clapladder/report/1","group":{"ability":1e308,"ability_sd":1e308,"ability_spread":-1}}`,
		"report below":       `{"schema":"clapladder/report/1","group":{"ability":-1e308,"ability_sd":0}}`,
		"record of claims":   `{"schema":"clapladder/history/1","group":"x","date":"9999-12-31T23:59:59Z","rounds":[{"notation":"x","meter":"1/4","share":1e400}]}`,
		"records of nothing": strings.Repeat("{}\n", 300_000),
		"marks without end":  strings.Repeat("0\t1\trow\n", 100_000),
		"marks backwards":    "9\t1\trow\n1e308\t1e309\tbell\n",
		"share of claims": "phrase,share,group\n" +
			strings.Repeat("row,1e308,a\nrow,nan,b\n", 1000),
		"groups without end": "phrase,share,group\n" + func() string {
			var b strings.Builder
			for i := range 3000 {
				fmt.Fprintf(&b, "row,0.5,%d\n", i)
			}
			return b.String()
		}(),
	}
	files := map[string][]byte{
		"zip bomb":           zipped("score.xml", 48<<20, "<a>"),
		"zip of spaces":      zipped("score.xml", 20<<20, " "),
		"zip that climbs":    zipped("../../../../tmp/clapladder-climbed.xml", 100, "<a/>"),
		"zip of a container": zipped("META-INF/container.xml", 100, `<rootfile full-path="/etc/passwd"/>`),
	}
	for name, text := range texts {
		files[name] = []byte(text)
	}
	return files
}
