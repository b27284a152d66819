package view

import (
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/view/internal/wording"
)

// notes are the sentences that stand beside a result: what was left out, and the warnings.
func notes(r *assess.Report) []string {
	var out []string
	if text := leftOutText(r.Recording.LeftOut, assess.NotAsked); text != "" {
		out = append(out, "Not listened to, as asked: "+text+".")
	}
	if text := leftOutText(r.Recording.LeftOut, assess.NoExchange); text != "" {
		out = append(out, "Left out, because no call and response was heard there: "+text+".")
	}
	for _, w := range r.Warnings {
		out = append(out, w.Text)
	}
	return out
}

// leftOutText lists the parts left out for one cause: "0:00 to 0:50 and 2:56 to 4:01"; empty where
// there is none.
func leftOutText(all []assess.LeftOut, why assess.LeftCause) string {
	var parts []string
	for _, l := range all {
		if l.Why == why {
			parts = append(parts, wording.Clock(l.Start)+" to "+wording.Clock(l.End))
		}
	}
	n := len(parts)
	if n < 2 {
		return strings.Join(parts, "")
	}
	return strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
}
