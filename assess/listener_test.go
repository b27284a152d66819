package assess

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
	"clapladder.example/patterns/bank"
)

func TestAListenerRefusesWhatARecordingRefuses(t *testing.T) {
	_, err := NewListener(1000, bank.Starter(), Options{})
	var wrong *audio.Error
	require.ErrorAs(t, err, &wrong)

	l, err := NewListener(16000, bank.Starter(), Options{})
	require.NoError(t, err)
	_, err = l.Finish(t.Context())
	require.ErrorAs(t, err, &wrong)
	assert.EqualValues(t, "empty", wrong.Kind)

	l, err = NewListener(16000, bank.Starter(), Options{Audio: audio.Options{MaxDuration: time.Second}})
	require.NoError(t, err)
	_, err = l.Write(t.Context(), make([]float32, 16000*2))
	require.ErrorAs(t, err, &wrong)
	assert.EqualValues(t, "limit", wrong.Kind)

	ended, cancel := context.WithCancel(t.Context())
	cancel()
	l, err = NewListener(16000, bank.Starter(), Options{})
	require.NoError(t, err)
	_, err = l.Write(ended, make([]float32, 16000))
	require.ErrorIs(t, err, context.Canceled)
}

// FuzzListener writes hostile samples in hostile pieces: it must not panic, and end as the file
// does.
func FuzzListener(f *testing.F) {
	f.Add([]byte{0, 1, 2, 3, 255, 254, 127, 128}, uint16(7), uint32(16000))
	f.Add(bytes.Repeat([]byte{0, 0, 200, 100, 0, 0}, 4000), uint16(333), uint32(44100))
	f.Add([]byte{}, uint16(1), uint32(8000))
	f.Fuzz(func(t *testing.T, pcm []byte, piece uint16, rate uint32) {
		if len(pcm) > 1<<18 {
			return
		}
		samples := samplesOf(pcm)
		l, err := NewListener(int(rate%200_000), bank.Starter(), Options{})
		if err != nil {
			return
		}
		for rest := samples; len(rest) > 0; {
			n := min(len(rest), 1+int(piece))
			if _, err := l.Write(t.Context(), rest[:n]); err != nil {
				t.Fatal(err)
			}
			rest = rest[n:]
		}
		got, err := l.Finish(t.Context())
		if err != nil {
			return
		}
		file, _ := asWAV(t, samples, int(rate%200_000))
		want, err := Recording(t.Context(), bytes.NewReader(file), bank.Starter(), Options{})
		require.NoError(t, err)
		assert.Equal(t, jsonOf(t, want), jsonOf(t, got))
	})
}

// BenchmarkListener states what listening live costs: the metric percent is processor time over the
// time that goes by.
//
//	go test -run '^$' -bench Listener ./assess
func BenchmarkListener(b *testing.B) {
	file, err := os.ReadFile("../testdata/boatyard-lunch.wav")
	require.NoError(b, err)
	one := samplesOf(file[44:])
	for _, times := range []int{1, 8} {
		b.Run(fmt.Sprint(len(one)*times/16000, "s"), func(b *testing.B) {
			longest, looks := time.Duration(0), 0
			for b.Loop() {
				l, err := NewListener(16000, bank.Starter(), Options{Repertoire: bank.StarterRepertoire()})
				require.NoError(b, err)
				for range times {
					for at := 0; at < len(one); at += 2000 {
						begun := time.Now()
						_, err := l.Write(b.Context(), one[at:min(at+2000, len(one))])
						require.NoError(b, err)
						if took := time.Since(begun); took > time.Millisecond*5 {
							looks++
							longest = max(longest, took)
						}
					}
				}
			}
			b.ReportMetric(100*b.Elapsed().Seconds()/float64(b.N)/(float64(len(one)*times)/16000), "percent")
			b.ReportMetric(float64(longest.Milliseconds()), "ms-longest-look")
			b.ReportMetric(float64(looks)/float64(b.N), "looks")
		})
	}
}
