package view_test

import (
	"fmt"
	"os"

	"clapladder.example/assess/view"
	"clapladder.example/rhythm"
	"clapladder.example/rhythm/spoken"
)

func ExampleTable() {
	table := view.Table{
		Columns: []view.Column{{Title: "PHRASE"}, {Title: "TIER", Right: true}},
		Rows:    [][]string{{"gangway", "2"}, {"Ebbe übt", "10"}},
	}
	fmt.Print(table.Text(view.Style{}))
	// Output:
	// PHRASE    TIER
	// gangway      2
	// Ebbe übt    10
}

func ExampleSpoken() {
	phrase := rhythm.MustParse("x .x . x", "4/4", 96)
	for _, line := range view.Spoken(phrase, spoken.Counting, nil, view.Style{}) {
		fmt.Println(line)
	}
	// Output:
	// x  .   x  .    x
	// 1  (2) &  (3)  4
}

func ExampleJSON() {
	err := view.JSON(os.Stdout, map[string]any{"share": 2.0 / 3, "times": []float64{0.5, 1}})
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// {
	//   "share": 0.6667,
	//   "times": [
	//     0.5,
	//     1
	//   ]
	// }
}
