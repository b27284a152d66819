package main

import (
	"fmt"
	"strings"
)

// didYouMean is "; did you mean …?" where one of the names is close to what was written, else empty.
func didYouMean(written string, names []string) string {
	best, least := "", 1+min(2, len(written)/2)
	for _, name := range names {
		d := distance(strings.ToLower(written), strings.ToLower(name))
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

// distance is the number of letters to add, take out, change, or swap with their neighbour to get from a to b: the
// restricted edit distance of Damerau (1964) and Levenshtein (1966), in bytes.
func distance(a, b string) int {
	before, above, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range above {
		above[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := above[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			row[j] = min(change, above[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, above, row = above, row, before
	}
	return above[len(b)]
}
