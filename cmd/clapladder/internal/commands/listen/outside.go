package listen

import (
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/naming"
)

// sayHowToAdd completes the report's remark on calls outside the bank with the command that adds
// the rhythm called most often, to the leader's own bank or to one to be made.
func (s scoring) sayHowToAdd(report *assess.Report) {
	for i := range report.Warnings {
		w := &report.Warnings[i]
		if w.Code != "not-in-bank" {
			continue
		}
		if called, ok := mostCalledOutside(report.Rounds); ok {
			w.Text += " That is: " + s.addCommand(called) + "."
		}
		return
	}
}

// mostCalledOutside is the first call of the rhythm that was called most often without being in the
// bank.
func mostCalledOutside(rounds []assess.Round) (assess.Round, bool) {
	times := map[string]int{}
	most, ok := assess.Round{}, false
	for _, r := range rounds {
		if r.Phrase == nil {
			times[rhythmKey(r)]++
		}
	}
	for _, r := range rounds {
		if r.Phrase == nil && (!ok || times[rhythmKey(r)] > times[rhythmKey(most)]) {
			most, ok = r, true
		}
	}
	return most, ok
}

func rhythmKey(r assess.Round) string { return r.Meter + " " + r.Notation }

// addCommand is the command that adds a call to the bank in use; the starter bank can't be written
// to, so then it is a bank of one's own.
func (s scoring) addCommand(r assess.Round) string {
	words := []string{"clapladder add --rhythm", naming.ShellWord(r.Notation)}
	if r.Meter != "4/4" {
		words = append(words, "--meter", r.Meter)
	}
	to := "my-bank.toml"
	if s.chosen && s.file != console.Starter && s.file != naming.Standard {
		to = s.file
	}
	words = append(words, "--tempo", view.Number(r.Call.Tempo, 0), "--to", naming.ShellWord(to), "--id ID")
	return strings.Join(words, " ")
}
