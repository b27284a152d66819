package codec

// adtsHeaderSize is the length of the header without checksum.
const ADTSHeaderSize = 7

// adtsHeader is the header of one frame (ISO/IEC 14496-3, 1.A.2.2).
type ADTSHeader struct {
	Config  [2]byte // the same as AudioSpecificConfig
	Profile byte    // 1 is LC
	Rate    byte    // index
	Shape   byte    // channel configuration
	Blocks  int     // coded frames inside, usually 1
	Header  int     // bytes before them
	Size    int     // bytes with header
}

func ParseADTSHeader(b []byte) (ADTSHeader, bool) {
	if len(b) < ADTSHeaderSize || b[0] != 0xff || b[1]&0xf6 != 0xf0 {
		return ADTSHeader{}, false
	}
	h := ADTSHeader{
		Profile: b[2] >> 6, Rate: b[2] >> 2 & 15, Shape: b[2]&1<<2 | b[3]>>6,
		Size:   int(b[3]&3)<<11 | int(b[4])<<3 | int(b[5])>>5,
		Blocks: int(b[6]&3) + 1, Header: 7,
	}
	if b[1]&1 == 0 {
		h.Header = 9
	}
	if h.Rate > 12 || h.Size <= h.Header {
		return h, false
	}
	object := uint16(h.Profile) + 1
	v := object<<11 | uint16(h.Rate)<<7 | uint16(h.Shape)<<3
	h.Config = [2]byte{byte(v >> 8), byte(v)}
	return h, true
}
