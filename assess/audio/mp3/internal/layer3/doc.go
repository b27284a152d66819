// Package layer3 decodes frames of MPEG audio, Layer III: MPEG-1 (ISO/IEC 11172-3), MPEG-2
// (13818-3) and MPEG-2.5, which extends it to lower rates. Finding frames in a file is its caller's
// part.
//
// A frame holds one or two granules of 576 frequency lines a channel. They are read (Huffman codes
// and scale factors), made amplitudes, given back to their channels, and turned into sound by two
// filter banks: the inverse cosine transform of each of 32 subbands, and the polyphase synthesis.
package layer3
