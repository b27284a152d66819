package sound_test

import (
	"bytes"
	"fmt"

	"clapladder.example/rhythm"
	"clapladder.example/rhythm/sound"
)

// What lies where in a file to practise with.
func Example() {
	gangway := rhythm.MustParse("x x xx x", "4/4", 96)
	s, err := sound.New([]rhythm.Phrase{gangway}, sound.Options{Answer: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, section := range s.Sections() {
		fmt.Printf("%4.1f s  %s, %d bar\n", section.Start, section.Role, section.Bars)
	}
	fmt.Printf("%4.1f s  end\n", s.Seconds())
	// Output:
	//  0.0 s  count-in, 1 bar
	//  2.5 s  call, 1 bar
	//  5.0 s  answer, 1 bar
	//  7.5 s  end
}

func ExampleSequence_WriteWAV() {
	bell := rhythm.MustParse("x . x x", "4/4", 120)
	s, err := sound.New([]rhythm.Phrase{bell}, sound.Options{NoCountIn: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	var file bytes.Buffer
	if err := s.WriteWAV(&file); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f s of sound and silence in %d bytes\n", s.Seconds(), file.Len())
	// Output: 4 s of sound and silence in 352844 bytes
}

// Every stroke has its place.
func ExampleSequence_Events() {
	swell := rhythm.MustParse("S . xx .", "4/4", 60)
	s, _ := sound.New([]rhythm.Phrase{swell}, sound.Options{NoCountIn: true})
	for _, e := range s.Events() {
		section := s.Sections()[e.Section]
		at := section.Start + section.Phrase.Seconds(e.Step)
		fmt.Printf("%.1f s %s, accented: %t\n", at, e.Sound, e.Accent)
	}
	// Output:
	// 0.0 s stamp, accented: true
	// 2.0 s clap, accented: false
	// 2.5 s clap, accented: false
}
