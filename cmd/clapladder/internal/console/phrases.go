package console

import (
	"cmp"

	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/patterns/bank"
	"clapladder.example/rhythm"
)

// ParsePhrase reads a phrase of the command line; without a metre it is in 4/4, without a tempo at
// the usual one.
func ParsePhrase(boxes, metre string, tempo float64) (rhythm.Phrase, error) {
	meter, err := rhythm.ParseMeter(cmp.Or(metre, "4/4"))
	if err != nil {
		return rhythm.Phrase{}, fault.Flag("--meter", err)
	}
	phrase, err := rhythm.Parse(boxes, meter, cmp.Or(tempo, rhythm.DefaultTempo))
	if err != nil {
		return rhythm.Phrase{}, fault.Flag("--rhythm", err)
	}
	return phrase, nil
}

// FindEntry finds a phrase by ID, and where there is none says which one may be meant.
func FindEntry(called *bank.Bank, id string) (bank.Entry, error) {
	if entry, ok := called.Find(id); ok {
		return entry, nil
	}
	ids := make([]string, len(called.Entries))
	for i, e := range called.Entries {
		ids[i] = e.ID
	}
	meant := naming.DidYouMean(id, ids)
	if meant == "" {
		meant = "; " + naming.Program + " grade lists what it has"
	}
	return bank.Entry{}, fault.Usage("the bank has no phrase %q%s", id, meant)
}
