// Package codec is what package audio and the packages of sound formats share: the recording's
// bytes, how its container is recognised, what an opened recording is, and errors. No size that a
// file states is trusted before its bytes have been read.
package codec
