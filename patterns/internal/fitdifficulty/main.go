// Command fitdifficulty finds the weights of the difficulty model again and says how good they are.
//
//	go run ./patterns/internal/fitdifficulty [-data patterns/testdata/ratings] [-results FILE.csv]
//
// The folder holds the public data. Results of people who clapped phrases back come in a file of
// their own, since such files may not be handed on: with the columns id, n_perf, n_pass,
// mean_grade, se_grade, metre_inferred, grid16, eighth_ms_median. Without them the command fits on
// the rest. It prints weights, how well whole data sets are predicted that the fit had not seen, a
// table that compares the model with each single published measure, and the order of the starter
// bank against teaching sequences. figures.txt is what it printed with the examination of 2015.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"

	"clapladder.example/patterns/internal/fitdifficulty/internal/fit"
)

func main() {
	if err := run(os.Stdout, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "fitdifficulty:", err)
		os.Exit(1)
	}
}

func run(out io.Writer, args []string) error {
	flags := flag.NewFlagSet("fitdifficulty", flag.ContinueOnError)
	folder := flags.String("data", "patterns/testdata/ratings", "folder of the public data")
	results := flags.String("results", "", "CSV file of people who clapped phrases back")
	if err := flags.Parse(args); err != nil {
		return err
	}
	data, err := fit.ReadFolder(*folder)
	if err != nil {
		return err
	}
	if *results != "" {
		if data.Results, err = fit.ReadResults(*results); err != nil {
			return err
		}
	}
	r := report{out: out, data: data, settings: fit.DefaultSettings()}
	r.weights()
	r.sets()
	r.table()
	r.order()
	return r.err
}
