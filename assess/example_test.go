package assess_test

import (
	"context"
	"fmt"
	"os"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/ability"
	"clapladder.example/assess/plan"
	"clapladder.example/patterns/bank"
)

func ExampleRecording() {
	file, err := os.Open("../testdata/boatyard-lunch.wav")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer file.Close()
	report, err := assess.Recording(context.Background(), file, bank.Starter(), assess.Options{})
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
	// tier 2
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
	report, err := assess.Taps(context.Background(), strings.NewReader(taps), bank.Starter(),
		assess.Options{})
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
	_, err := assess.Tally([]assess.Verdict{{Phrase: "gangawy", Heard: ability.Got}},
		bank.Starter(), assess.Options{})
	fmt.Println(err)
	report, err := assess.Tally([]assess.Verdict{
		{Phrase: "row", Heard: ability.Got},
		{Phrase: "clave", Heard: ability.Lost},
	}, bank.Starter(), assess.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(report.Group.Tier == nil, report.Warnings[0].Code)
	// Output:
	// the bank has no phrase "gangawy"; did you mean "gangway"?
	// true few-rounds
}

// A program that judges each answer itself asks after each what to call next.
func ExampleSession() {
	session := assess.NewSession(bank.Starter(), assess.Options{})
	heard := assess.Heard{Phrase: "row", Share: 0.95, ShareSD: 0.1}
	for _, share := range []float64{0.9, 0.7, 0.4} { // of the group that gets the call that is suggested
		report, err := session.Add(heard)
		if err != nil {
			fmt.Println(err)
			return
		}
		next := report.NextCall
		fmt.Printf("after %s: level %.1f, call next: %s\n", heard.Phrase,
			*report.Rounds[len(report.Rounds)-1].Level, next.Phrase)
		heard = assess.Heard{Phrase: next.Phrase, Share: share, ShareSD: 0.1}
	}
	// Output:
	// after row: level 4.0, call next: not-now
	// after not-now: level 4.1, call next: clave
	// after clave: level 4.4, call next: here-she-comes
}

// Shares that were measured by other means are enough for an estimate.
func ExampleSession_Add() {
	session := assess.NewSession(bank.Starter(), assess.Options{Repertoire: bank.StarterRepertoire()})
	var report *assess.Report
	for _, h := range []assess.Heard{
		{Phrase: "row", Share: 1},
		{Phrase: "gangway", Share: 0.9},
		{Phrase: "throw", Share: 0.8},
		{Phrase: "load", Share: 0.5},
		{Phrase: "clave", Share: 0.3},
	} {
		var err error
		if report, err = session.Add(h); err != nil {
			fmt.Println(err)
			return
		}
	}
	g := report.Group
	fmt.Printf("level %.1f, 90 %%: %.1f to %.1f\n", *g.Ability, g.AbilityInterval[0], g.AbilityInterval[1])
	fmt.Printf("tier %d of %d, %s\n", *g.Tier, len(g.TierProbabilities), *g.Mix)
	for _, o := range report.Openers {
		if o.Role == plan.Main {
			fmt.Printf("open with %s, tier %d\n", o.Name, o.Tier)
		}
	}
	// Output:
	// level 3.4, 90 %: 2.6 to 4.3
	// tier 2 of 9, some spread
	// open with Slipway March, tier 2
}
