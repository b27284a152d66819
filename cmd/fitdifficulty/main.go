// Command fitdifficulty finds the weights of the difficulty model again and says how good they are.
//
//	go run ./cmd/fitdifficulty [-data patterns/testdata/ratings] [-results FILE.csv]
//
// The folder holds the public data. Results of people who clapped phrases back come in a file of
// their own, since such files may not be handed on: with the columns id, n_perf, n_pass,
// mean_grade, se_grade, metre_inferred, grid16, eighth_ms_median. Without them the command fits on
// the rest. It prints weights, how well whole data sets are predicted that the fit had not seen, a
// table that compares the model with each single published measure, and the order of the starter
// bank against teaching sequences. figures.txt is what it printed with the examination of 2015.
package main

import (
	"fmt"
	"os"

	"clapladder.example/patterns/fitting"
)

func main() {
	if err := fitting.Report(os.Stdout, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "fitdifficulty:", err)
		os.Exit(1)
	}
}
