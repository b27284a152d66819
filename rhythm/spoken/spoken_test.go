package spoken_test

import (
	"flag"
	"fmt"
	"log"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/internal/anyphrase"
	"clapladder.example/rhythm/spoken"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden file anew")

var goldenPhrases = [][2]string{
	{"4/4", "x x x x"},
	{"4/4", "x x xx x"},
	{"4/4", "xxxx xx x.xx xxx."},
	{"4/4", "x..x .x x ."},
	{"4/4", "x .x .x x"},
	{"4/4", "xx .x x . | x . . x"},
	{"4/4", "xxx xxx x.x .xx"},
	{"4/4", ".x .x .xx. ...x"},
	{"4/4", "xxxxxx xxxxxxxx xxxxx xxxxxxx"},
	{"4/4", "X . S pn"},
	{"3/4", "x xx . | . x x"},
	{"2/2", "x xx"},
	{"2/2", "x... .x.x"},
	{"5/4=3+2", "x x x xx x"},
	{"6/8", "x x.x"},
	{"6/8", "xxx .x."},
	{"6/8", "x.xx.x xx"},
	{"12/8", "x.x .xx ... x"},
	{"3/8", ".xx"},
	{"5/8=2+3", "xx x.x"},
	{"7/8=2+2+3", "x x. x.x | xxxx .. xxx"},
	{"8/8=3+3+2", "x.. .x. x."},
}

func TestWordsUnderBoxes(t *testing.T) {
	var b strings.Builder
	for _, c := range goldenPhrases {
		p := rhythm.MustParse(c[1], c[0], 96)
		fmt.Fprintf(&b, "%s  %s\n", c[0], c[1])
		for _, s := range spoken.Systems() {
			boxes, words := spoken.Aligned(p, s)
			fmt.Fprintf(&b, "  %-14s %s\n  %-14s %s\n", s, boxes, "", words)
		}
		b.WriteByte('\n')
	}
	path := filepath.Join("testdata", "aligned.golden")
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(b.String()), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), b.String())
}

var meters = []string{
	"4/4", "3/4", "2/2", "6/8", "12/8", "3/8", "5/8=2+3", "7/8=2+2+3", "5/4=3+2",
	"6/8=2+2+2",
}

func randomPhrase(r *rand.Rand) rhythm.Phrase { return anyphrase.Random(r, meters) }

func TestEveryStrokeHasOneWordInOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 2000 {
		p := randomPhrase(r)
		for _, s := range spoken.Systems() {
			sounded, last := 0, -1
			for _, word := range spoken.Line(p, s) {
				require.NotEmpty(t, word.Text)
				require.Greater(t, word.Step, last, "%s of %s", s, p)
				last = word.Step
				if word.Sounded {
					require.Equal(t, p.Strokes()[sounded].Step, word.Step, "%s of %s", s, p)
					sounded++
				}
			}
			require.Equal(t, len(p.Strokes()), sounded, "%s of %s", s, p)
		}
	}
}

func TestWordsStandUnderTheirBoxes(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for range 500 {
		p := randomPhrase(r)
		for _, s := range spoken.Systems() {
			boxes, words := spoken.Aligned(p, s)
			require.Equal(t, strokesOf(p.String()), strokesOf(boxes))
			line, at := spoken.Line(p, s), 0
			for column := range boxes {
				switch letter := boxes[column]; letter {
				case ' ':
				case '|':
					require.Equal(t, byte('|'), words[column])
				default:
					sounded := letter != '.'
					if !sounded && (column >= len(words) || words[column] != '(') {
						continue // a held sound
					}
					word := line[at].Text
					if !sounded {
						word = "(" + word + ")"
					}
					require.True(t, strings.HasPrefix(words[column:], word), "%s of %s", s, p)
					require.Equal(t, sounded, line[at].Sounded)
					at++
				}
			}
			require.Len(t, line, at)
		}
	}
}

// strokesOf keeps the letters and bar lines of a line of boxes.
func strokesOf(line string) string { return strings.NewReplacer(" ", "", ".", "").Replace(line) }

func TestPlacesInTheBeatDoNotDependOnTheRest(t *testing.T) {
	// Systems by place give a stroke the same word whatever follows; length names do not.
	for name, want := range map[string]string{"beat-function": "mi", "macro-micro": "ta", "counting": "a"} {
		s, err := spoken.ParseSystem(name)
		require.NoError(t, err)
		for _, boxes := range []string{"x..x x x x", "xxxx x x x", "..xx x x x"} {
			var last string
			for _, word := range spoken.Line(rhythm.MustParse(boxes, "4/4", 96), s) {
				if word.Sounded && word.Step < 4 {
					last = word.Text
				}
			}
			assert.Equal(t, want, last, name)
		}
	}
}

func TestSystemsAreReadByName(t *testing.T) {
	for _, s := range spoken.Systems() {
		got, err := spoken.ParseSystem(" " + strings.ToUpper(s.String()) + " ")
		require.NoError(t, err)
		assert.Equal(t, s, got)
	}
	_, err := spoken.ParseSystem("humming")
	require.EqualError(t, err, `"humming" is not a way of counting; write one of counting, length, beat-function, macro-micro, south-indian`)
	assert.Equal(t, "unknown system", spoken.System(99).String())
}

func TestNoPhraseHasNoWords(t *testing.T) {
	for _, s := range spoken.Systems() {
		assert.Empty(t, spoken.Line(rhythm.Phrase{}, s))
		boxes, words := spoken.Aligned(rhythm.Phrase{}, s)
		assert.Empty(t, boxes+words)
	}
}

func ExampleAligned() {
	phrase := rhythm.MustParse("x xx .x x", "4/4", 96)
	boxes, words := spoken.Aligned(phrase, spoken.Counting)
	fmt.Println(boxes)
	fmt.Println(words)
	// Output:
	// x   x x   .   x   x
	// 1   2 &   (3) &   4
}

func ExampleLine() {
	system, err := spoken.ParseSystem("beat-function")
	if err != nil {
		log.Fatal(err)
	}
	for _, word := range spoken.Line(rhythm.MustParse("x .x", "2/4", 96), system) {
		fmt.Println(word.Step, word.Text, word.Sounded)
	}
	// Output:
	// 0 ta true
	// 2 ta false
	// 3 di true
}
