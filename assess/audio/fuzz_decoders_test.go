package audio_test

import (
	"bytes"
	"strings"
	"testing"
)

// Each decoder has a target of its own, so that each gets its share of the time: go test -fuzz
// FuzzFLAC ./assess/audio. The law is that of FuzzOpen.

func FuzzWAV(f *testing.F)    { fuzzDecoder(f, "RIFF", "RIFX", "RF64") }
func FuzzAIFF(f *testing.F)   { fuzzDecoder(f, "FORM") }
func FuzzFLAC(f *testing.F)   { fuzzDecoder(f, "fLaC") }
func FuzzMP3(f *testing.F)    { fuzzDecoder(f, "ID3", "\xff\xfb", "\xff\xf3") }
func FuzzADTS(f *testing.F)   { fuzzDecoder(f, "\xff\xf1") }
func FuzzMP4(f *testing.F)    { fuzzDecoder(f, "\x00\x00\x00") }
func FuzzOpus(f *testing.F)   { fuzzDecoder(f, "OggS", "OpusHead") }
func FuzzVorbis(f *testing.F) { fuzzDecoder(f, "OggS", "\x01vorbis") }

// fuzzDecoder starts from the seeds that begin with one of the signatures; of Ogg files from those
// that hold the second. A changed file gets its signature back, for without it no decoder sees it.
func fuzzDecoder(f *testing.F, signatures ...string) {
	inside := ""
	if signatures[0] == "OggS" {
		signatures, inside = signatures[:1], signatures[1]
	}
	begins := func(file []byte) bool {
		for _, s := range signatures {
			if bytes.HasPrefix(file, []byte(s)) {
				return true
			}
		}
		return false
	}
	n := 0
	for _, s := range seeds(f) {
		if begins(s) && strings.Contains(string(s), inside) {
			f.Add(s)
			n++
		}
	}
	if n == 0 {
		f.Fatalf("no seed begins with %q", signatures)
	}
	f.Fuzz(func(t *testing.T, file []byte) {
		if !begins(file) {
			file = bytes.Clone(file)
			copy(file, signatures[0])
		}
		if resealed := reseal(file); resealed != nil {
			file = resealed // or no change would get past the checksums
		}
		checkLaws(t, file)
	})
}

// resealFLAC gives everything in a FLAC file that may be a frame header a right checksum (RFC 9639,
// section 9.1.8).
func resealFLAC(file []byte) []byte {
	file = bytes.Clone(file)
	for i := 4; i+16 <= len(file); i++ {
		head := file[i:]
		if head[0] != 0xff || head[1]&0xfe != 0xf8 {
			continue
		}
		size := 5
		for lead := head[4]; lead&0xc0 == 0xc0 && size < 11; lead <<= 1 {
			size++ // the number of the frame is coded like UTF-8
		}
		switch head[2] >> 4 {
		case 6:
			size++
		case 7:
			size += 2
		}
		switch head[2] & 15 {
		case 12:
			size++
		case 13, 14:
			size += 2
		}
		if size >= len(head) {
			break
		}
		head[size] = flacChecksum(head[:size])
	}
	return file
}

func flacChecksum(b []byte) byte {
	var crc byte
	for _, v := range b {
		crc ^= v
		for range 8 {
			carry := crc >> 7
			crc = crc<<1 ^ carry*0x07
		}
	}
	return crc
}

func TestResealingKeepsASoundFLACFileAsItIs(t *testing.T) {
	file := readFixture(t, "claps-22050.flac")
	if !bytes.Equal(file, resealFLAC(file)) {
		t.Error("a right checksum was changed")
	}
	hit := bytes.Clone(file)
	first := bytes.Index(file[42:], []byte("\xff\xf8")) + 42
	hit[first+5] ^= 0x55
	if !bytes.Equal(file, resealFLAC(hit)) {
		t.Error("a wrong checksum was kept")
	}
}
