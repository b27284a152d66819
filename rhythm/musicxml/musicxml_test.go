package musicxml_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/internal/anyphrase"
	"clapladder.example/rhythm/musicxml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func write(t testing.TB, p rhythm.Phrase) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, musicxml.Write(&b, p, musicxml.WriteOptions{Title: "Down the gangway"}))
	return b.String()
}

var meters = []string{
	"4/4", "3/4", "2/4", "2/2", "6/8", "9/8", "12/8", "3/8", "5/4", "5/4=3+2",
	"7/8=2+2+3", "7/8=3+2+2", "5/8=2+3", "8/8=3+3+2", "6/8=2+2+2", "7/16=2+2+3", "4/16", "1/2",
}

func randomPhrase(r *rand.Rand) rhythm.Phrase { return anyphrase.Random(r, meters) }

func TestWrittenPhraseIsReadBack(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for i := range 1000 {
		p := randomPhrase(r)
		var b bytes.Buffer
		if i%2 == 0 {
			require.NoError(t, musicxml.Write(&b, p,
				musicxml.WriteOptions{Title: "Ebb & <flood>", Part: "Bow & stern"}))
		} else {
			require.NoError(t, musicxml.Write(&b, p, musicxml.WriteOptions{Compressed: true}))
		}
		got, err := musicxml.Read(b.Bytes(), musicxml.ReadOptions{})
		require.NoError(t, err, "%s in %s", p, p.Meter())
		require.True(t, p.Equal(got), "%s in %s came back as %s in %s", p, p.Meter(), got, got.Meter())
		require.InDelta(t, p.Tempo(), got.Tempo(), 0.001)
	}
}

// A bar must add up: durations to the bar, and the written values with their tuplets to the same.
func TestWrittenValuesFillTheBar(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for range 400 {
		p := randomPhrase(r)
		for _, m := range measures(t, write(t, p)) {
			sum, written := 0, 0.0
			rest := false
			for _, n := range m.Notes {
				sum += n.Duration
				if n.Rest != nil && n.Rest.Measure == "yes" {
					rest = true
					continue
				}
				value := map[string]float64{
					"half": 2, "quarter": 1, "eighth": 1.0 / 2,
					"16th": 1.0 / 4, "32nd": 1.0 / 8, "64th": 1.0 / 16, "128th": 1.0 / 32,
					"256th": 1.0 / 64,
				}[n.Type]
				require.NotZero(t, value, "type %q", n.Type)
				if len(n.Dots) == 1 {
					value *= 1.5
				}
				if n.Actual > 0 {
					value *= float64(n.Normal) / float64(n.Actual)
				}
				require.InDelta(t, float64(n.Duration)/float64(p.StepsPerQuarter()), value, 1e-9,
					"%s in %s", p, p.Meter())
				written += value
			}
			require.Equal(t, p.BarSteps(), sum, "%s in %s", p, p.Meter())
			if !rest {
				require.InDelta(t, float64(p.BarSteps())/float64(p.StepsPerQuarter()), written, 1e-9)
			}
		}
	}
}

func TestScoreForARealPhrase(t *testing.T) {
	text := write(t, rhythm.MustParse("x. .X xsx .", "4/4", 96))
	for _, want := range []string{
		`<score-partwise version="4.0">`, "<work-title>Down the gangway</work-title>",
		"<instrument-sound>effect.hand-clap</instrument-sound>",
		"<instrument-sound>effect.stamp</instrument-sound>",
		"<midi-channel>10</midi-channel>", "<midi-unpitched>40</midi-unpitched>",
		"<midi-unpitched>37</midi-unpitched>",
		"<sign>percussion</sign>", "<staff-lines>1</staff-lines>", "<notehead>x</notehead>",
		"<unpitched></unpitched>",
		`<sound tempo="96">`, "<beats>4</beats>", "<accent></accent>",
		"<actual-notes>3</actual-notes>", "<normal-notes>2</normal-notes>",
	} {
		assert.Contains(t, text, want)
	}
	assert.NotContains(t, text, "effect.snap", "sounds that are not used are not listed")
	assert.NotContains(t, text, "<tie", "boxes carry no lengths")
	text = write(t, rhythm.MustParse("x xx x.x | . . .", "7/8=2+2+3", 150))
	assert.Contains(t, text, "<beats>2+2+3</beats>")
	assert.Contains(t, text, `<rest measure="yes">`)
	text = write(t, rhythm.MustParse("x x", "6/8", 80))
	assert.Contains(t, text, `<sound tempo="120">`, "eighty beats of three eighths are 120 quarters")
	assert.Contains(t, text, "<beat-unit-dot>")
}

// score wraps measures in the smallest score around them.
func score(body string) string {
	return `<?xml version="1.0"?><score-partwise version="3.1"><part-list><score-part id="P1"><part-name>Hands</part-name>` +
		`<score-instrument id="I1"><instrument-name>a</instrument-name><instrument-sound>effect.snap</instrument-sound></score-instrument></score-part>` +
		`<score-part id="P2"><part-name>Tide  song</part-name></score-part></part-list>` + body + `</score-partwise>`
}

func partOne(measures string) string { return score(`<part id="P1">` + measures + `</part>`) }

const head = `<attributes><divisions>2</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>`

func pitched(duration int, more string) string {
	return fmt.Sprintf(`<note>%s<pitch><step>C</step><octave>5</octave></pitch><duration>%d</duration></note>`, more, duration)
}

func TestOtherScoresAreRead(t *testing.T) {
	for _, c := range []struct {
		name, text, part, meter, boxes string
		tempo                          float64
	}{
		{"a melody is its onsets", partOne(`<measure number="1">` + head + pitched(2, "") + pitched(1, "") + pitched(1, "") + pitched(4, "") + `</measure>`), "", "4/4", "x xx x .", 96},
		{"a chord is one stroke", partOne(`<measure number="1">` + head + pitched(4, "") + pitched(4, "<chord/>") + pitched(4, "") + `</measure>`), "", "4/4", "x . x .", 96},
		{"and does not move on", partOne(`<measure number="1">` + head + pitched(4, "") + pitched(4, "<chord/>") + `</measure>`), "", "4/4", "x . . .", 96},
		{"two sounds at one place are the clap", partOne(`<measure number="1">` + head + pitched(8, "") + `<note><chord/><unpitched/><duration>8</duration><instrument id="I1"/></note></measure>`), "", "4/4", "x . . .", 96},
		{"grace and cue notes are passed over", partOne(`<measure number="1">` + head + `<note><grace/><pitch/></note>` + pitched(4, "") + pitched(4, "<cue/>") + `</measure>`), "", "4/4", "x . . .", 96},
		{"a tie is one stroke", partOne(`<measure number="1">` + head + pitched(6, "") + `<note><pitch/><duration>2</duration><tie type="start"/></note></measure><measure number="2"><note><pitch/><duration>4</duration><tie type="stop"/></note>` + pitched(4, "") + `</measure>`), "", "4/4", "x . . x | . . x .", 96},
		{"voices go together", partOne(`<measure number="1">` + head + pitched(8, "") + `<backup><duration>6</duration></backup>` + pitched(2, "") + `<forward><duration>2</duration></forward>` + pitched(2, "") + `</measure>`), "", "4/4", "x x . x", 96},
		{"a pickup is a bar that begins silent", partOne(`<measure number="0" implicit="yes">` + head + pitched(1, "") + `</measure><measure number="1">` + pitched(8, "") + `</measure>`), "", "4/4", ". . . .x | x . . .", 96},
		{"instruments are body sounds", partOne(`<measure number="1">` + head + `<note><unpitched/><duration>8</duration><instrument id="I1"/></note></measure>`), "", "4/4", "n . . .", 96},
		{"marks are accents", partOne(`<measure number="1">` + head + `<note><unpitched/><duration>4</duration><notations><articulations><strong-accent/></articulations></notations></note>` + pitched(4, "") + `</measure>`), "", "4/4", "X . x .", 96},
		{"no time signature is 4/4", partOne(`<measure number="1"><attributes><divisions>1</divisions></attributes>` + pitched(1, "") + `</measure>`), "", "4/4", "x . . .", 96},
		{"sevens are grouped two first", partOne(`<measure number="1"><attributes><divisions>2</divisions><time><beats>7</beats><beat-type>8</beat-type></time></attributes>` + pitched(2, "") + pitched(5, "") + `</measure>`), "", "7/8=2+2+3", "x x .", 96},
		{"or as written", partOne(`<measure number="1"><attributes><divisions>2</divisions><time><beats>3+2+2</beats><beat-type>8</beat-type></time></attributes>` + pitched(3, "") + pitched(4, "") + `</measure>`), "", "7/8=3+2+2", "x x .", 96},
		{"the tempo of a metronome mark", partOne(`<measure number="1">` + head + `<direction><direction-type><metronome><beat-unit>half</beat-unit><per-minute>60</per-minute></metronome></direction-type></direction>` + pitched(8, "") + `</measure>`), "", "4/4", "x . . .", 120},
		{"a named part, the tempo from another", score(`<part id="P1"><measure number="1">` + head + `<sound tempo="77"/>` + pitched(8, "") + `</measure></part><part id="P2"><measure number="1">` + head + pitched(4, "") + pitched(4, "") + `</measure></part>`), "tide song", "4/4", "x . x .", 77},
		{"the first part may be silent", score(`<part id="P1"><measure number="1">` + head + `<note><rest/><duration>8</duration></note></measure></part><part id="P2"><measure number="1">` + head + pitched(8, "") + `</measure></part>`), "", "4/4", "x . . .", 96},
		{"divisions may change between bars", partOne(`<measure number="1">` + head + pitched(8, "") + `</measure><measure number="2"><attributes><divisions>6</divisions></attributes>` + pitched(2, "") + pitched(2, "") + pitched(2, "") + `</measure>`), "", "4/4", "x . . . | xxx . . .", 96},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := musicxml.Read([]byte(c.text), musicxml.ReadOptions{Part: c.part})
			require.NoError(t, err)
			assert.Equal(t, rhythm.MustParse(c.boxes, c.meter, 96).String(), got.String())
			assert.Equal(t, c.meter, got.Meter().String())
			assert.InDelta(t, c.tempo, got.Tempo(), 1e-9)
		})
	}
	got, err := musicxml.Read([]byte("\xef\xbb\xbf"+partOne(`<measure number="1">`+head+pitched(8, "")+`</measure>`)), musicxml.ReadOptions{Tempo: 60})
	require.NoError(t, err, "a byte-order mark does no harm")
	assert.Equal(t, 60.0, got.Tempo(), "the tempo as told")
}

func archive(t testing.TB, files ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for i := 0; i+1 < len(files); i += 2 {
		f, err := w.Create(files[i])
		require.NoError(t, err)
		_, err = io.WriteString(f, files[i+1])
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.Bytes()
}

const container = `<container><rootfiles><rootfile full-path="music/a.xml"/></rootfiles></container>`

func TestCompressedScores(t *testing.T) {
	good := partOne(`<measure number="1">` + head + pitched(8, "") + `</measure>`)
	for _, data := range [][]byte{archive(t, "META-INF/container.xml", container, "music/a.xml",
		good), archive(t, "song.xml", good)} {
		got, err := musicxml.Read(data, musicxml.ReadOptions{})
		require.NoError(t, err)
		assert.Equal(t, "x . . .", got.String())
	}
	var b bytes.Buffer
	require.NoError(t, musicxml.Write(&b, rhythm.MustParse("x x", "6/8", 80),
		musicxml.WriteOptions{Compressed: true}))
	r, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	require.NoError(t, err)
	assert.Equal(t, "mimetype", r.File[0].Name)
	assert.Equal(t, zip.Store, r.File[0].Method)
	assert.Equal(t, "META-INF/container.xml", r.File[1].Name)
}

func TestFilesThatGiveNoPhrase(t *testing.T) {
	bar := func(body string) []byte { return []byte(partOne(`<measure number="7">` + body + `</measure>`)) }
	many := []string{}
	for i := range 1001 {
		many = append(many, fmt.Sprintf("f%d", i), "")
	}
	for _, c := range []struct {
		name string
		data []byte
		text string
	}{
		{"nothing", nil, "no MusicXML score"},
		{"boxes", []byte("x x xx x"), "no MusicXML score"},
		{"a web page", []byte("<html><body/></html>"), "it begins with <html>"},
		{"timewise", []byte("<score-timewise/>"), "partwise"},
		{"cut off", []byte(partOne("")[:150]), "damaged"},
		{"UTF-16", []byte("\xff\xfe<\x00"), "UTF-16"},
		{"another encoding", []byte(`<?xml version="1.0" encoding="ISO-8859-1"?><score-partwise/>`), "UTF-8"},
		{"no note", bar(head), "no note"},
		{"too long a bar", bar(head + pitched(9, "")), `part "Hands", measure 7: the bar is longer than its metre 4/4`},
		{"another metre", []byte(partOne(`<measure number="1">` + head + pitched(8, "") + `</measure><measure number="2"><attributes><time><beats>3</beats><beat-type>4</beat-type></time></attributes></measure>`)), "from 4/4 to 3/4"},
		{"no metre at all", bar(`<attributes><time><senza-misura/></time></attributes>`), "no metre"},
		{"several fractions", bar(`<attributes><time><beats>2</beats><beat-type>4</beat-type><beats>3</beats><beat-type>8</beat-type></time></attributes>`), "several fractions"},
		{"a strange metre", bar(`<attributes><time><beats>4</beats><beat-type>32</beat-type></time></attributes>`), "4/32"},
		{"a word for a number", bar(`<attributes><divisions>two</divisions></attributes>`), `"two"`},
		{"no duration", bar(`<note><pitch/></note>`), "not a duration"},
		{"an endless duration", bar(`<note><pitch/><duration>99999999999</duration></note>`), "not a duration"},
		{"back too far", bar(head + `<backup><duration>1</duration></backup>`), "before the start"},
		{"seventeenths of a beat", bar(`<attributes><divisions>17</divisions></attributes>` + pitched(1, "") + pitched(16, "")), "no box"},
		{"too slow", bar(head + `<sound tempo="5"/>` + pitched(8, "")), "tempo 5"},
		{"too many bars", []byte(partOne(strings.Repeat(`<measure number="1">`+pitched(1, "")+`</measure>`, 65))), "64 bars"},
		{"an archive without a score", archive(t, "notes.txt", "x"), "holds no score"},
		{"a score that is not there", archive(t, "META-INF/container.xml", container), "music/a.xml"},
		{
			"a container that says nothing", archive(t, "META-INF/container.xml", "<container/>"),
			"where its music is",
		},
		{"a broken archive", []byte("PK\x03\x04 and no more"), "can't be opened"},
		{"an archive of many files", archive(t, many...), "1000 files"},
		{"an archive that swells", archive(t, "song.xml", strings.Repeat(" ", 9<<20)), "8 MiB"},
		{"a huge file", bytes.Repeat([]byte(" "), 9<<20), "8 MiB"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := musicxml.Read(c.data, musicxml.ReadOptions{})
			problem, ok := errors.AsType[*musicxml.Error](err)
			require.True(t, ok, "%v", err)
			assert.Contains(t, err.Error(), c.text)
			assert.NotEmpty(t, problem.Advice)
			assert.NotContains(t, err.Error(), "\n")
		})
	}
	_, err := musicxml.Read([]byte(partOne(`<measure number="1">`+head+pitched(8, "")+`</measure>`)), musicxml.ReadOptions{Part: "Drums"})
	require.EqualError(t, err, `the score has no part "Drums" with notes; write one of "Hands", "Tide song"`)
	require.Error(t, musicxml.Write(io.Discard, rhythm.Phrase{}, musicxml.WriteOptions{}))
}

// A zip entry may lie about its size; the bytes count.
func TestALyingArchiveDoesNotCostMemory(t *testing.T) {
	data := archive(t, "song.xml", strings.Repeat(" ", 9<<20))
	at := bytes.LastIndex(data, []byte("PK\x01\x02"))
	copy(data[at+24:at+28], []byte{100, 0, 0, 0}) // uncompressed size in the directory
	_, err := musicxml.Read(data, musicxml.ReadOptions{})
	_, ok := errors.AsType[*musicxml.Error](err)
	require.True(t, ok, "%v", err)
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(partOne(`<measure number="0" implicit="yes">`+head+pitched(1, "")+`</measure><measure number="1">`+pitched(8, "")+`</measure>`)), "")
	f.Add([]byte(partOne(`<measure number="1">`+head+pitched(8, "")+`<backup><duration>6</duration></backup>`+pitched(2, "<chord/>")+`</measure>`)), "Hands")
	f.Add([]byte(write(f, rhythm.MustParse("x. .X xsx .", "4/4", 96))), "P1")
	f.Add(archive(f, "META-INF/container.xml", container, "music/a.xml", partOne("")), "")
	f.Fuzz(func(t *testing.T, data []byte, name string) {
		p, err := musicxml.Read(data, musicxml.ReadOptions{Part: name})
		if err != nil {
			_, ok := errors.AsType[*musicxml.Error](err)
			require.True(t, ok, "%v", err)
			return
		}
		again, err := musicxml.Read([]byte(write(t, p)), musicxml.ReadOptions{})
		require.NoError(t, err)
		require.True(t, p.Equal(again), "%s became %s", p, again)
	})
}

func Example() {
	phrase := rhythm.MustParse("x xx .x x", "4/4", 96)
	var file bytes.Buffer
	if err := musicxml.Write(&file, phrase,
		musicxml.WriteOptions{Title: "Down the gangway", Compressed: true}); err != nil {
		fmt.Println(err)
		return
	}
	again, err := musicxml.Read(file.Bytes(), musicxml.ReadOptions{})
	fmt.Println(again, again.Meter(), again.Tempo(), err)
	// Output: x xx .x x 4/4 96 <nil>
}
