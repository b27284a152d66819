package assess

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"clapladder.example/assess/audio"
	"clapladder.example/assess/internal/realsound"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/patterns/bank"
)

// benchReels prints what is claimed of minutes without call and response, class by class: REELS of each
// (3).
func benchReels(b *testing.B, out io.Writer, l realsound.Library, untouched bool) {
	const head = "%-19s %3s %6s  %9s %6s\n"
	fmt.Fprintf(out, "\nRecorded sound without call and response: answers claimed a minute, tiers stated\n\n")
	fmt.Fprintf(out, head, "class", "n", "min", "false/min", "tiers")
	phrases := bank.Starter()
	sum := [4]float64{}
	row := func(name string, x [4]float64) {
		fmt.Fprintf(out, head, name, fmt.Sprint(x[0]), fmt.Sprintf("%.1f", x[1]),
			fmt.Sprintf("%.2f", x[2]/max(1e-9, x[1])), fmt.Sprint(x[3]))
	}
	for _, c := range realsound.ReelClasses {
		if !asked(c.Name) {
			continue
		}
		own := [4]float64{}
		for i := range environment("REELS", 3) {
			r, ok := realsound.MakeReel(b, l, c, i, untouched)
			if !ok {
				break
			}
			var file bytes.Buffer
			if err := signal.WriteWAV(&file, r.Samples, realsound.Rate); err != nil {
				b.Error(err)
			}
			report, err := Recording(context.Background(), &file, phrases, Options{})
			if err != nil {
				b.Error(err)
				continue
			}
			own[0], own[1] = own[0]+1, own[1]+float64(len(r.Samples))/realsound.Rate/60
			for _, round := range report.Rounds {
				if round.Response != nil {
					own[2]++
				}
			}
			if report.Group.Tier != nil {
				own[3]++
			}
		}
		if own[0] > 0 {
			row(c.Name, own)
		}
		for k := range sum {
			sum[k] += own[k]
		}
	}
	row("all", sum)
}

// codec is a low-bit-rate codec of ffmpeg.
type codec struct {
	encoder, ending string
	options         []string
}

// missing says in a few words why the codec cannot be used here, or nothing.
func (c *codec) missing() string {
	encoders, err := exec.Command("ffmpeg", "-v", "error", "-encoders").Output()
	if err != nil {
		return "ffmpeg is not installed"
	}
	if !slices.Contains(strings.Fields(string(encoders)), c.encoder) {
		return "ffmpeg has no encoder for it"
	}
	return ""
}

// apply sends samples through the codec and returns them with the seconds by which they come later.
func (c *codec) apply(b *testing.B, samples []float32) (out []float32, late float64) {
	path := filepath.Join(b.TempDir(), "coded."+c.ending)
	var file bytes.Buffer
	if err := signal.WriteWAV(&file, samples, realsound.Rate); err != nil {
		b.Fatal(err)
	}
	encode := exec.Command("ffmpeg", append(append([]string{
		"-v", "error", "-y", "-f", "wav", "-i", "-",
		"-c:a", c.encoder,
	}, c.options...), path)...)
	encode.Stdin = &file
	if text, err := encode.CombinedOutput(); err != nil {
		b.Fatalf("%v: %s", err, text)
	}
	decode := exec.Command("ffmpeg", "-v", "error", "-i", path, "-f", "wav", "-c:a", "pcm_s16le",
		"-ar", fmt.Sprint(realsound.Rate), "-")
	wav, err := decode.Output()
	if err != nil {
		b.Fatal(err)
	}
	stream, err := audio.Open(context.Background(), bytes.NewReader(wav), audio.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer stream.Close()
	part := make([]float32, 8192)
	for {
		n, err := stream.Read(part)
		out = append(out, part[:n]...)
		if err != nil {
			return out, delay(samples, out)
		}
	}
}

// delay is by how many seconds b comes later than a, to a millisecond, by their power.
func delay(a, b []float32) float64 {
	const frame = realsound.Rate / 1000
	powers := func(x []float32) (out []float64) {
		for i := 0; i+frame <= min(len(x), 30*realsound.Rate); i += frame {
			sum := 0.0
			for _, v := range x[i : i+frame] {
				sum += float64(v) * float64(v)
			}
			out = append(out, sum)
		}
		return out
	}
	before, after := powers(a), powers(b)
	best, most := 0, 0.0
	for lag := -30; lag <= 150; lag++ {
		sum := 0.0
		for i, v := range before {
			if k := i + lag; k >= 0 && k < len(after) {
				sum += v * after[k]
			}
		}
		if sum > most {
			best, most = lag, sum
		}
	}
	return float64(best) / 1000
}
