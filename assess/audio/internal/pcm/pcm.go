package pcm

import (
	"encoding/binary"
	"errors"
	"io"
	"math"

	"clapladder.example/assess/audio/internal/codec"
)

// sampleFormat is the coding of one PCM sample.
type sampleFormat struct {
	kind  sampleKind
	bytes int
	big   bool // most significant byte first
}

type sampleKind uint8

const (
	signedInt sampleKind = iota
	offsetInt            // unsigned around the middle, as in 8-bit WAV
	floating
	muLaw
	aLaw
	lowInt // signed 24-bit value in the low bytes of a 4-byte word
)

// step is the distance of two neighbouring values near zero, full scale being 1.
// It is 0 for formats so fine that it does not matter.
func (f sampleFormat) step() float64 {
	switch {
	case f.kind == floating:
		return 0
	case f.kind == muLaw || f.kind == aLaw:
		return 8.0 / 32768
	}
	return codec.Step(f.bytes)
}

// codec names the format in the usual short way, such as "pcm_s16le".
func (f sampleFormat) codec() string {
	end := "le"
	if f.big {
		end = "be"
	}
	bits := map[int]string{1: "8", 2: "16", 3: "24", 4: "32", 8: "64"}[f.bytes]
	switch f.kind {
	case offsetInt:
		return "pcm_u8"
	case floating:
		return "pcm_f" + bits + end
	case muLaw:
		return "pcm_mulaw"
	case aLaw:
		return "pcm_alaw"
	case lowInt:
		return "pcm_s24" + end
	}
	if f.bytes == 1 {
		return "pcm_s8"
	}
	return "pcm_s" + bits + end
}

// convert turns src into len(src)/f.bytes samples in dst. Integers are divided
// by 2^(bits-1), so that the most negative value is -1 and the scale is the same
// at every depth. Floats may exceed 1; what is not a number becomes 0.
func (f sampleFormat) convert(dst []float32, src []byte) {
	n := len(src) / f.bytes
	dst = dst[:n]
	switch f.kind {
	case offsetInt:
		for i, b := range src[:n] {
			dst[i] = float32(int(b)-128) * (1.0 / 128)
		}
		return
	case muLaw:
		for i, b := range src[:n] {
			dst[i] = muLawTable[b]
		}
		return
	case aLaw:
		for i, b := range src[:n] {
			dst[i] = aLawTable[b]
		}
		return
	case floating:
		f.convertFloat(dst, src)
		return
	}
	switch {
	case f.bytes == 1:
		for i, b := range src[:n] {
			dst[i] = float32(int8(b)) * (1.0 / 128)
		}
	case f.bytes == 2 && !f.big:
		convert16(dst, src[:2*n])
	case f.bytes == 2:
		for i := range dst {
			dst[i] = float32(int16(binary.BigEndian.Uint16(src[2*i:]))) * (1.0 / 32768)
		}
	case f.bytes == 3:
		lo, hi := 0, 2
		if f.big {
			lo, hi = 2, 0
		}
		for i := range dst {
			b := src[3*i : 3*i+3]
			v := int32(uint32(b[lo])<<8|uint32(b[1])<<16|uint32(b[hi])<<24) >> 8
			dst[i] = float32(v) * (1.0 / (1 << 23))
		}
	default:
		scale := float32(1.0 / (1 << 31))
		if f.kind == lowInt {
			scale = 1.0 / (1 << 23)
		}
		for i := range dst {
			dst[i] = float32(int32(f.order().Uint32(src[4*i:]))) * scale
		}
	}
}

// convert16 is convert for what most files hold, four samples at a time.
func convert16(dst []float32, src []byte) {
	const scale = 1.0 / 32768
	for len(dst) >= 4 && len(src) >= 8 {
		four := binary.LittleEndian.Uint64(src)
		dst[0], dst[1] = float32(int16(four))*scale, float32(int16(four>>16))*scale
		dst[2], dst[3] = float32(int16(four>>32))*scale, float32(int16(four>>48))*scale
		dst, src = dst[4:], src[8:]
	}
	for i := range dst {
		dst[i] = float32(int16(binary.LittleEndian.Uint16(src[2*i:]))) * scale
	}
}

func (f sampleFormat) order() binary.ByteOrder {
	if f.big {
		return binary.BigEndian
	}
	return binary.LittleEndian
}

func (f sampleFormat) convertFloat(dst []float32, src []byte) {
	order := f.order()
	for i := range dst {
		if f.bytes == 4 {
			dst[i] = codec.Tame(math.Float32frombits(order.Uint32(src[4*i:])))
		} else {
			dst[i] = codec.Tame(float32(math.Float64frombits(order.Uint64(src[8*i:]))))
		}
	}
}

// The tables expand G.711 (ITU-T G.711, 1988) on a 16-bit scale, as usual.
var muLawTable, aLawTable = func() (mu, a [256]float32) {
	for i := range 256 {
		u := ^byte(i)
		v := int(u&0x0f)<<3 + 0x84
		v = v<<(u>>4&7) - 0x84
		if u&0x80 != 0 {
			v = -v
		}
		mu[i] = float32(v) / 32768

		u = byte(i) ^ 0x55
		v = int(u&0x0f)<<4 + 8
		if seg := u >> 4 & 7; seg > 0 {
			v = (v + 0x100) << (seg - 1)
		}
		if u&0x80 == 0 {
			v = -v
		}
		a[i] = float32(v) / 32768
	}
	return mu, a
}()

// pcmDecoder reads interleaved PCM until left bytes are used up or the file ends.
type pcmDecoder struct {
	in       io.Reader
	format   sampleFormat
	channels int
	left     int64 // bytes, negative: to the end of the file
	buf      []byte
	damage   *codec.Damage
	began    bool
}

func (d *pcmDecoder) Decode(dst []float32) (int, error) {
	frame := d.format.bytes * d.channels
	want := int64(len(dst) / d.channels * frame)
	if d.left >= 0 {
		want = min(want, d.left/int64(frame)*int64(frame))
	}
	if want == 0 {
		return 0, io.EOF
	}
	if int64(cap(d.buf)) < want {
		d.buf = make([]byte, want)
	}
	buf := d.buf[:want]
	n, err := io.ReadFull(d.in, buf)
	if d.left >= 0 {
		d.left -= int64(n)
		if codec.IsEnd(err) && d.left > 0 {
			d.damage.CutShort = true
		}
	}
	frames := n / frame
	if !d.began && frames > 0 {
		d.began = true
		d.justify(buf[:frames*frame])
	}
	d.format.convert(dst, buf[:frames*frame])
	if frames > 0 {
		return frames, nil
	}
	if err == nil || errors.Is(err, io.ErrUnexpectedEOF) {
		err = io.EOF
	}
	return 0, err
}

// justify looks where the 24 bits sit in a 4-byte word. They belong in the high
// bytes, but some recorders put them in the low ones with the sign extended.
func (d *pcmDecoder) justify(b []byte) {
	if d.format.kind != lowInt {
		return
	}
	low, high := 0, 3
	if d.format.big {
		low, high = 3, 0
	}
	for i := 0; i+4 <= len(b); i += 4 {
		w := b[i : i+4]
		next := w[2]
		if d.format.big {
			next = w[1]
		}
		if w[high] != byte(int8(next)>>7) {
			d.format.kind = signedInt // the top byte is more than a sign
			return
		}
		if w[low] != 0 {
			return
		}
	}
	// Silence, or a signal too small to tell: as the standard has it.
	d.format.kind = signedInt
}
