// Package pcm decodes WAV and AIFF.
package pcm
