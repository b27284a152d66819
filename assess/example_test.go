package assess_test

import (
	"context"
	"fmt"
	"os"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/ability"
	"clapladder.example/patterns"
)

func ExampleRecording() {
	file, err := os.Open("../testdata/boatyard-lunch.wav")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer file.Close()
	report, err := assess.Recording(context.Background(), file, patterns.StarterBank(), assess.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range report.Rounds[:3] {
		fmt.Printf("%.1f s: %s, %s\n", r.Call.Start, r.Name, r.Notation)
	}
	fmt.Println("tier", *report.Group.Tier)
	// Output:
	// 6.6 s: Row the boat home, x x x x
	// 14.0 s: Tie it fast, x x x .
	// 20.4 s: Mind out, gangway clear, x x xx x
	// tier 3
}

func ExampleTaps() {
	const taps = `round,role,time_s
1,call,1.00
1,call,1.63
1,call,2.25
1,call,2.56
1,call,2.88
1,response,3.52
1,response,4.14
1,response,4.77
1,response,5.39
`
	report, err := assess.Taps(context.Background(), strings.NewReader(taps), patterns.StarterBank(), assess.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	round := report.Rounds[0]
	fmt.Println(*round.Phrase, round.Notation)
	for _, e := range round.Errors {
		fmt.Println(e.Kind, "at beat", e.Beat)
	}
	// Output:
	// gangway x x xx x
	// dropped-off-beat at beat 3.5
}

func ExampleTally() {
	_, err := assess.Tally([]assess.Verdict{{Phrase: "gangawy", Heard: ability.Got}}, patterns.StarterBank(), assess.Options{})
	fmt.Println(err)
	report, err := assess.Tally([]assess.Verdict{{Phrase: "row", Heard: ability.Got}, {Phrase: "clave", Heard: ability.Lost}}, patterns.StarterBank(), assess.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(report.Group.Tier == nil, report.Warnings[0].Code)
	// Output:
	// the bank has no phrase "gangawy"; did you mean "gangway"?
	// true few-rounds
}
