package naming

import (
	"fmt"
	"strings"

	"clapladder.example/patterns/bank"
)

// DidYouMean is "; did you mean …?" where one of the names is close to what was written, else
// empty.
func DidYouMean(written string, names []string) string {
	best, least := "", 1+min(2, len(written)/2)
	for _, name := range names {
		d := bank.Slips(strings.ToLower(written), strings.ToLower(name))
		if len(written) >= 3 && strings.HasPrefix(name, written) {
			d = min(d, 1)
		}
		if d < least {
			best, least = name, d
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf("; did you mean %q?", best)
}
