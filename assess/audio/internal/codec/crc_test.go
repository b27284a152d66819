package codec

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The check values of the usual catalogues are those of the nine digits (from memory): 0xf4 for the
// polynomial 0x07, 0xfee8 for 0x8005, and for 0x04c11db7 that of the POSIX command cksum without
// its last inversion and without the length.
func TestChecksumsOfTheNineDigits(t *testing.T) {
	digits := []byte("123456789")
	assert.Equal(t, uint8(0xf4), CRC8(digits))
	assert.Equal(t, uint16(0xfee8), CRC16(0, digits))
	assert.Equal(t, ^uint32(0x765e7680), CRC32(digits))
	assert.Equal(t, CRC16(0, digits), CRC16(CRC16(0, digits[:4]), digits[4:]), "a checksum can be carried on")
}
