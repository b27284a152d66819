// Package fitting finds the weights of the difficulty model again, from public data and results of
// people who clapped phrases back, and says how good they are. Command fitdifficulty is its door.
package fitting

import (
	"flag"
	"io"

	"clapladder.example/patterns/fitting/internal/fit"
)

// Report fits and writes what it finds; args are those of command fitdifficulty. Errors are those
// of the command line, of files that can't be read or used, and of out.
func Report(out io.Writer, args []string) error {
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
