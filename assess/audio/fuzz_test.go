package audio_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"math"
	"testing"
	"time"

	"clapladder.example/assess/audio"
)

// seeds are small valid files of every format decoded here.
func seeds(t testing.TB) [][]byte {
	var files [][]byte
	for _, c := range compressed {
		files = append(files, readFixture(t, c.file))
	}
	sound := interleave(clapTrain(8000, 0.05, 0.01), clapTrain(8000, 0.05, 0.01))
	for _, spec := range wavSpecs {
		spec.channels, spec.rate = 2, 8000
		files = append(files, wavFile(spec.wavSpec, encode(spec.wavSpec, sound)))
	}
	for _, coding := range []string{"", "NONE", "sowt", "raw ", "fl32", "fl64", "ulaw", "alaw"} {
		files = append(files, aiffFile(coding, 8000, 2, 16, bytes.Repeat([]byte{1, 250, 3, 0}, 200)))
	}
	return append(files,
		[]byte("RF64\xff\xff\xff\xffWAVEds64\x1c\x00\x00\x00"),
		[]byte("RIFX\x00\x00\x00\x40WAVEfmt \x00\x00\x00\x10\x00\x01\x00\x01\x00\x00\x1f\x40\x00\x00\x3e\x80\x00\x02\x00\x10data\x00\x00\x00\x00\x01\x02"),
		[]byte("#!AMR\n"), []byte("caff"), []byte("some text"), nil,
	)
}

// FuzzOpen holds any bytes against these laws: no panic, no hang, an *audio.Error
// or io.EOF at the end, never more sound than the limit, never a sample that is
// not a number, the same result twice, and no memory for claims alone.
func FuzzOpen(f *testing.F) {
	for _, s := range seeds(f) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, file []byte) {
		if resealed := reseal(file); resealed != nil {
			checkLaws(t, resealed) // or no changed page would get past its checksum
		}
		checkLaws(t, file)
	})
}

// reseal gives the pages of an Ogg file and the headers of FLAC frames right checksums again; nil
// for other files.
func reseal(file []byte) []byte {
	if bytes.HasPrefix(file, []byte("fLaC")) {
		return resealFLAC(file)
	}
	if !bytes.HasPrefix(file, []byte("OggS")) {
		return nil
	}
	file = bytes.Clone(file)
	for rest := file; len(rest) >= 27 && string(rest[:4]) == "OggS"; {
		n := 27 + int(rest[26])
		if n > len(rest) {
			break
		}
		for _, s := range rest[27:n] {
			n += int(s)
		}
		if n > len(rest) {
			break
		}
		seal(rest[:n])
		rest = rest[n:]
	}
	return file
}

func checkLaws(t *testing.T, file []byte) {
	opts := audio.Options{MaxDuration: 3 * time.Second, MaxBytes: 1 << 20, FFmpeg: audio.NoFFmpeg}
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	var got, again []float32
	var err error
	used := allocatedBytes(func() { got, err = drain(ctx, bytes.NewReader(file), opts) })
	if used > 256<<20 {
		t.Fatalf("%d bytes asked for %d bytes of %d samples", used, len(file), len(got))
	}
	if e, ok := errors.AsType[*audio.Error](err); !ok && !errors.Is(err, io.EOF) || ok &&
		(e.Kind == "" || e.Message == "") {
		t.Fatalf("no plain error: %#v", err)
	}
	if len(got) > 3*audio.Rate {
		t.Fatalf("%d samples are more than the limit", len(got))
	}
	for i, x := range got {
		if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
			t.Fatalf("sample %d is %v", i, x)
		}
	}
	again, second := drain(ctx, struct{ io.Reader }{bytes.NewReader(file)}, opts)
	if len(again) != len(got) || (err == nil) != (second == nil) {
		t.Fatalf("from a pipe %d samples and %v, from a file %d and %v", len(again), second, len(got), err)
	}
	for i := range got {
		if got[i] != again[i] {
			t.Fatalf("sample %d differs from a pipe", i)
		}
	}
}

func drain(ctx context.Context, r io.Reader, opts audio.Options) ([]float32, error) {
	s, err := audio.Open(ctx, r, opts)
	if err != nil {
		return nil, err
	}
	defer s.Close()
	var all []float32
	buf := make([]float32, 4096)
	for {
		n, err := s.Read(buf)
		all = append(all, buf[:n]...)
		if err != nil {
			_ = s.Warnings()
			return all, err
		}
	}
}

// Every seed with each of its first bytes and some later ones changed.
func TestHostileFiles(t *testing.T) {
	count := 0
	for _, file := range seeds(t) {
		if len(file) == 0 {
			continue
		}
		var places []int
		for i := 0; i < min(64, len(file)); i += 7 {
			places = append(places, i)
		}
		for i := 1; i < 4; i++ {
			places = append(places, len(file)*i/4)
		}
		for _, place := range places {
			for _, v := range []byte{0, 0xff} {
				hit := bytes.Clone(file)
				hit[place] = v
				used := allocatedBytes(func() {
					_, err := drain(t.Context(), bytes.NewReader(hit), audio.Options{
						MaxDuration: 3 * time.Second, MaxBytes: 1 << 20, FFmpeg: audio.NoFFmpeg,
					})
					if !errors.Is(err, io.EOF) {
						asError(t, err)
					}
				})
				if used > 128<<20 {
					t.Errorf("%d bytes asked for after byte %d was set to %d", used, place, v)
				}
				count++
			}
		}
	}
	if count < 700 {
		t.Errorf("only %d files", count)
	}
}
