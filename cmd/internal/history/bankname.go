package history

import (
	"fmt"
	"hash/fnv"
	"strings"

	"clapladder.example/patterns/bank"
)

// BankName is what a log remembers a bank by: the name that it goes by and, behind a "#", a sum of
// its phrases as they are called and placed. Two banks with one sum give the same levels.
func BankName(name string, b *bank.Bank) string {
	h := fnv.New32a()
	for _, e := range b.Entries {
		fmt.Fprintf(h, "%s\x00%s\x00%s\x00%d\x00%g\n", e.ID, e.Phrase.Meter(), e.Phrase, e.Tier, e.Difficulty)
	}
	name = CleanLabel(strings.ReplaceAll(name, "#", " "))
	if runes := []rune(name); len(runes) > 40 {
		name = "…" + string(runes[len(runes)-39:])
	}
	return fmt.Sprintf("%s#%08x", name, h.Sum32())
}

// ShownBank is the name of a bank without the sum behind it.
func ShownBank(name string) string {
	shown, _, _ := strings.Cut(name, "#")
	return shown
}

// SameBank reports whether two names stand for banks with the same phrases.
func SameBank(a, b string) bool {
	_, x, _ := strings.Cut(a, "#")
	_, y, _ := strings.Cut(b, "#")
	return x == y
}
