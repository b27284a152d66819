package history_test

import (
	"context"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"time"

	"clapladder.example/assess"
	"clapladder.example/cmd/internal/history"
)

// report stands for what a warm-up came to; each answer is the share of the group
// that got a phrase.
func report(answers ...float64) *assess.Report {
	r := &assess.Report{Tool: "clapladder 0.1.0", Recording: assess.Recorded{Format: "wav"}}
	for i, notation := range []string{"x x x x", "x x xx x", "xx . x x", "x.xx x x x", ".x .x x x"} {
		r.Rounds = append(r.Rounds, assess.Round{
			Notation: notation, Meter: "4/4", Attempt: 1, Confidence: 1, Usable: true,
			Share: new(answers[i]),
		})
	}
	return r
}

// A leader keeps what a group did, looks at how it moves, and has it forgotten.
func Example() {
	ctx := context.Background()
	folder, err := os.MkdirTemp("", "history")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(folder)
	book := history.Open(filepath.Join(folder, "history.jsonl"))

	for month, r := range []*assess.Report{
		report(0.9, 0.6, 0.3, 0.1, 0),
		report(1, 0.8, 0.6, 0.4, 0.2),
		report(1, 1, 1, 0.9, 0.8),
	} {
		err := book.Append(ctx, history.FromReport(r, history.About{
			Group: "Lunch clappers", People: 20,
			Date: time.Date(2026, time.Month(3+month), 2, 12, 30, 0, 0, time.UTC),
		}))
		if err != nil {
			log.Fatal(err)
		}
	}

	contents, err := book.Read(ctx)
	if err != nil {
		log.Fatal(err)
	}
	trend, err := history.NewTrend(contents.Records, "lunch clappers", history.NewScale(nil, nil))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(trend.Direction, history.Sparkline(trend.Points), len(trend.Points), "dates")

	forgotten, err := book.Forget(ctx, "lunch clappers")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(forgotten.Records, "records removed")
	// Output:
	// up ▁▃█ 3 dates
	// 3 records removed
}
