package plan_test

import (
	"fmt"
	"log"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/plan"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
)

// piece is a graded piece with a core part and a support part.
func piece(id, name string, core, support float64) patterns.GradedPiece {
	part := func(role bank.Role, hard float64) patterns.GradedPart {
		return patterns.GradedPart{
			Part: bank.Part{Name: string(role), Role: role, Phrase: rhythm.MustParse("x x xx x", "4/4", 96)},
			SD:   0.4, Difficulty: hard, Tier: tierscale.Tier(hard),
		}
	}
	return patterns.GradedPiece{
		Piece:      bank.Piece{ID: id, Name: name},
		Difficulty: core, SD: 0.4, Tier: tierscale.Tier(core),
		Parts: []patterns.GradedPart{part(bank.Core, core), part(bank.Support, support)},
	}
}

// A leader who knows the tier asks what to open with.
func ExampleChoose() {
	openers, err := plan.Choose(plan.Request{
		Tier: 3,
		Pieces: []patterns.GradedPiece{
			piece("mooring", "Mooring Lines", 1.8, 1.0),
			piece("waltz", "Harbour Waltz", 3.1, 1.4),
			piece("fathoms", "Five Fathoms", 3.9, 2.1),
		},
	})
	if err != nil {
		log.Fatal(err)
	}
	for _, c := range openers.List() {
		fmt.Printf("%s: %s %s (%s)\n", c.Role, c.Name, c.Part, c.Why)
	}
	// Output:
	// safe: Mooring Lines  (a sure start, one tier easier than the main choice)
	// main: Harbour Waltz  (the hardest of your pieces up to tier 3)
	// stretch: Five Fathoms  (a step up, one tier harder, once the main choice sits; 22 % sure)
	// fallback: Mooring Lines support (its part "support" over the same pulse, one tier easier)
	// fallback: Harbour Waltz support (its part "support" over the same pulse, two tiers easier)
	// fallback: Five Fathoms support (its part "support" over the same pulse, two tiers easier)
}

// fourPhrases is a graded bank of four phrases.
func fourPhrases() []patterns.Graded {
	var graded []patterns.Graded
	for _, p := range []struct {
		id, rhythm string
		difficulty float64
	}{
		{"oar", "x x x x", 1},
		{"fender", "x x xx x", 2.1},
		{"keel", "xx xx . x", 3.2},
		{"shroud", ".x x x x", 4.5},
	} {
		graded = append(graded, patterns.Graded{
			Entry:      bank.Entry{ID: p.id, Name: p.id, Phrase: rhythm.MustParse(p.rhythm, "4/4", 96)},
			Difficulty: p.difficulty, SD: 0.5, Tier: tierscale.Tier(p.difficulty),
		})
	}
	return graded
}

// After two calls, which one next?
func ExampleCaller_Next() {
	caller, err := plan.NewCaller(fourPhrases(), plan.Microphone{People: 20})
	if err != nil {
		log.Fatal(err)
	}
	session, err := ability.NewSession(ability.Settings{Tiers: 5})
	if err != nil {
		log.Fatal(err)
	}
	var called []plan.Called
	for _, round := range []struct {
		phrase            string
		difficulty, share float64
	}{{"oar", 1, 1}, {"fender", 2.1, 0.9}} {
		err := session.Add(ability.Observation{
			Item: round.phrase, Difficulty: round.difficulty, DifficultySD: 0.5, Share: round.share,
			People: 20,
		})
		if err != nil {
			log.Fatal(err)
		}
		called = append(called, plan.Called{Phrase: round.phrase, Share: round.share})
	}
	call, _ := caller.Next(session.Posterior(), called)
	fmt.Printf("%s: %s\n", call.ID, call.Why)
	// Output:
	// keel: one tier up: it would tell you the most now; about 7 in 10 people should get it
}

// A card is followed by ear; the way through it is known afterwards.
func ExampleNewCard() {
	card, err := plan.NewCard(patterns.GradeBank(difficulty.DefaultModel(), bank.Starter()), plan.CardOptions{
		Calls: 8, Tempo: 92, Prior: ability.Prior{Level: 4, LevelSD: 1.5},
	})
	if err != nil {
		log.Fatal(err)
	}
	calls, end := card.Follow([]bool{true, true, false, true, false, true})
	fmt.Println(len(calls), "calls, from", calls[0].Notation, "to", calls[len(calls)-1].Notation,
		"at", card.Tempo)
	fmt.Println(end.Place, "after", end.Got, "that were got")
	// Output:
	// 8 calls, from x x x x to x x x x at 92
	// end 6 after 4 that were got
}
