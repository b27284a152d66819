package bank_test

import (
	"errors"
	"fmt"

	"clapladder.example/patterns/bank"
	"clapladder.example/rhythm"
)

func ExampleLoad() {
	bank, err := bank.Load("bank.toml", []byte(`
[[phrase]]
id = "gangway"
name = "Mind out, gangway clear"
meter = "4/4"
rhythm = "x x xx x"
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range bank.Entries {
		fmt.Println(e.ID, e.Phrase.Meter(), e.Phrase.Tempo(), e.Phrase)
	}
	// Output: gangway 4/4 96 x x xx x
}

func ExampleLoad_problems() {
	_, err := bank.Load("bank.toml", []byte(`[[phrase]]
id = "gangway"
metre = "4/4"
rhythm = "x x xx"
tier = "2"
`))
	fmt.Println(err)
	if file, ok := errors.AsType[*bank.FileError](err); ok {
		for _, problem := range file.Problems {
			fmt.Print("\n", problem.Detail(file.Name))
		}
	}
	// Output:
	// bank.toml, line 3, column 1: a phrase has no key "metre"; write meter (2 more problems)
	//
	// bank.toml, line 3, column 1: a phrase has no key "metre"
	//     metre = "4/4"
	//     ^
	//   write meter
	//
	// bank.toml, line 4, column 15: bar 1 has 3 beats, 4/4 has 4
	//     rhythm = "x x xx"
	//                   ^
	//   write "." for each silent beat, for example "x x x x"
	//
	// bank.toml, line 5, column 8: tier is a text, not a number
	//     tier = "2"
	//            ^
	//   write tier = 2, without quotes
}

func ExampleLoadRepertoire() {
	repertoire, err := bank.LoadRepertoire("pieces.csv", []byte(`id,name,meter,tempo,tags,part,role,rhythm
slipway,Slipway March,4/4,92,body,march,core,s x s x
slipway,,,,,feet,support,s . s .
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, piece := range repertoire.Pieces {
		fmt.Println(piece.Name)
		for _, part := range piece.Parts {
			fmt.Println(" ", part.Role, part.Name, part.Phrase)
		}
	}
	// Output:
	// Slipway March
	//   core march s x s x
	//   support feet s . s .
}

func ExampleFormatTOML() {
	text, err := bank.FormatTOML("bank.toml", []byte(`[[ phrase ]]
id="tie"   # the first call
meter = "4/4"
rhythm = "|x  x x .|x  x xx ."
`))
	fmt.Print(string(text), err)
	// Output:
	// [[phrase]]
	// id = "tie" # the first call
	// meter = "4/4"
	// rhythm = "x x x . | x x xx ."
	// <nil>
}

func ExampleSetPins() {
	text, err := bank.SetPins("bank.toml", []byte(`# mine
[[phrase]]
id = "tie" # the first call
meter = "4/4"
rhythm = "x x x ."
`), []bank.Pin{{ID: "tie", Tier: 2}})
	fmt.Print(string(text), err)
	// Output:
	// # mine
	// [[phrase]]
	// id = "tie" # the first call
	// meter = "4/4"
	// rhythm = "x x x ."
	// tier = 2
	// <nil>
}

func ExampleAppendPhrase() {
	phrase := rhythm.MustParse("x x xx x", "4/4", 96)
	text, err := bank.AppendPhrase("bank.csv",
		[]byte("id,meter,tempo,rhythm\nrow,4/4,96,x x x x\n"), bank.Entry{ID: "gangway", Phrase: phrase})
	fmt.Print(string(text), err)
	// Output:
	// id,meter,tempo,rhythm
	// row,4/4,96,x x x x
	// gangway,4/4,96,x x xx x
	// <nil>
}

func ExampleBank_EncodeCSV() {
	bank := bank.Bank{Entries: bank.Starter().Entries[:2]}
	sheet, err := bank.EncodeCSV(';')
	fmt.Print(string(sheet), err)
	// Output:
	// id;name;meter;tempo;rhythm;tier;tags;notes
	// tie-fast;Tie it fast;4/4;96;x x x .;;step-1, opener, rest;Breathe in on the silent beat, all together.
	// paddle-pull;Paddle, pull;2/4;96;xx x;;step-1, opener, eighths, duple;
	// <nil>
}
