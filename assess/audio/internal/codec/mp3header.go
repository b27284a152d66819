package codec

// mp3Header is the 4-byte header of an MPEG audio frame, Layer III
// (ISO/IEC 11172-3, 2.4.1.3; lower rates: 13818-3).
type MP3Header struct {
	Bits    uint32
	Version int // 1, 2, or 25 for the unofficial MPEG-2.5
	Bitrate int // bits a second
	Rate    int
	Padding int
}

var mp3Bitrates = [2][15]int{
	{0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320},
	{0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160},
}

var mp3Rates = map[int][3]int{
	1:  {44100, 48000, 32000},
	2:  {22050, 24000, 16000},
	25: {11025, 12000, 8000},
}

// parseMP3Header accepts Layer III at a fixed bit rate index ("free format" files
// do not say how long their frames are).
func ParseMP3Header(b uint32) (MP3Header, bool) {
	h := MP3Header{Bits: b, Version: [4]int{25, 0, 2, 1}[b>>19&3], Padding: int(b >> 9 & 1)}
	layer, bitrate, rate := b>>17&3, b>>12&15, b>>10&3
	if b>>21 != 0x7ff || h.Version == 0 || layer != 1 || bitrate == 0 || bitrate == 15 ||
		rate == 3 || b&3 == 2 {
		return h, false
	}
	table := 0
	if h.Version != 1 {
		table = 1
	}
	h.Bitrate = mp3Bitrates[table][bitrate] * 1000
	h.Rate = mp3Rates[h.Version][rate]
	return h, true
}

func (h MP3Header) Mono() bool { return h.Bits>>6&3 == 3 }

func (h MP3Header) Channels() int {
	if h.Mono() {
		return 1
	}
	return 2
}

// sameStream reports whether both frames may belong to one recording.
func (h MP3Header) SameStream(o MP3Header) bool {
	return h.Version == o.Version && h.Rate == o.Rate && h.Mono() == o.Mono()
}

// samples is the number of samples of each channel in a frame.
func (h MP3Header) Samples() int {
	if h.Version == 1 {
		return 1152
	}
	return 576
}

// size is the length of the frame in bytes, header included.
func (h MP3Header) Size() int { return h.Samples()/8*h.Bitrate/h.Rate + h.Padding }

// sideInfo is the length of the side information that follows the header and the
// optional checksum.
func (h MP3Header) SideInfo() int {
	switch {
	case h.Version == 1 && !h.Mono():
		return 32
	case h.Version != 1 && h.Mono():
		return 9
	}
	return 17
}

// body is the offset of the side information in the frame.
func (h MP3Header) Body() int {
	if h.Bits>>16&1 == 0 {
		return 6 // with checksum
	}
	return 4
}
