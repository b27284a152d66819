package audio_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"math"
	"strings"

	"clapladder.example/assess/audio"
)

// The loudest moment of a recording, found without keeping the recording.
func ExampleOpen() {
	claps := clapTrain(44100, 1, 0) // a file would come from os.Open
	file := wavFile(wavSpec{tag: 1, channels: 1, rate: 44100, bits: 16}, pcm16(claps))

	s, err := audio.Open(context.Background(), bytes.NewReader(file), audio.Options{})
	if err != nil {
		log.Fatal(err)
	}
	defer s.Close()
	buf := make([]float32, 1024)
	n, at, loudest := 0, 0, 0.0
	for {
		got, err := s.Read(buf)
		for _, x := range buf[:got] {
			if size := math.Abs(float64(x)); size > loudest {
				at, loudest = n, size
			}
			n++
		}
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			log.Fatal(err)
		}
	}
	info := s.Info()
	fmt.Printf("%s, %s, %d Hz, %v\n", info.Format, info.Codec, info.SampleRate, info.Duration)
	fmt.Printf("loudest within the claps: %v\n", at < audio.Rate)
	// Output:
	// wav, pcm_s16le, 44100 Hz, 1s
	// loudest within the claps: true
}

// A text file does not become sound by its name.
func ExampleOpen_mistake() {
	_, err := audio.Open(context.Background(), strings.NewReader("Meet at the slipway at noon."),
		audio.Options{})
	if e, ok := errors.AsType[*audio.Error](err); ok {
		fmt.Println(e.Kind)
		fmt.Println(e.Message)
	}
	// Output:
	// not-audio
	// this is a text file, not a recording
}

// What the leader should know about the recording comes as data.
func ExampleStream_Warnings() {
	left := clapTrain(8000, 2, 0.001)
	right := make([]float64, len(left)) // its cable is broken
	file := wavFile(wavSpec{tag: 1, channels: 2, rate: 8000, bits: 16}, pcm16(interleave(left, right)))

	s, err := audio.Open(context.Background(), bytes.NewReader(file), audio.Options{})
	if err != nil {
		log.Fatal(err)
	}
	defer s.Close()
	for buf := make([]float32, 4096); err == nil; {
		_, err = s.Read(buf)
	}
	for _, w := range s.Warnings() {
		fmt.Println(w.Code)
	}
	// Output:
	// dead-channel
	// low-rate
}
