package codec

import "math/bits"

// The checksums of FLAC frames and Ogg pages start at zero and take the highest bit first, without
// reflection. Their polynomials are x^8+x^2+x+1 and x^16+x^15+x^2+1 (RFC 9639, sections 9.1.8 and
// 9.3) and 0x04c11db7 (RFC 3533, section 6).
var (
	crc8Table  = crcTable[uint8](0x07)
	crc16Table = crcTable[uint16](0x8005)
	crc32Table = crcTable[uint32](0x04c11db7)
)

// crcTable is what each first byte does to a checksum.
func crcTable[T uint8 | uint16 | uint32](polynomial T) (table [256]T) {
	width := bits.Len64(uint64(^T(0)))
	for i := range table {
		crc := T(i) << (width - 8)
		for range 8 {
			carry := crc >> (width - 1)
			crc = crc<<1 ^ carry*polynomial
		}
		table[i] = crc
	}
	return table
}

// crc8 is the checksum of a FLAC frame's header.
func CRC8(b []byte) (crc uint8) {
	for _, v := range b {
		crc = crc8Table[crc^v]
	}
	return crc
}

// crc16 carries the checksum of a FLAC frame on over b.
func CRC16(crc uint16, b []byte) uint16 {
	for _, v := range b {
		crc = crc<<8 ^ crc16Table[byte(crc>>8)^v]
	}
	return crc
}

// crc32 is the checksum of an Ogg page.
func CRC32(b []byte) (crc uint32) {
	for _, v := range b {
		crc = crc<<8 ^ crc32Table[byte(crc>>24)^v]
	}
	return crc
}
