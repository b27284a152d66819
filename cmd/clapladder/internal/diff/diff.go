// Package diff shows what changes between two texts.
package diff

import (
	"fmt"
	"strings"
)

const context = 3 // unchanged lines around a change

// Unified writes the lines that differ in the unified form of diff(1) (POSIX), with three lines around each change. It is empty where
// nothing differs. Lines that are only in before begin with "-", those only in after with "+".
func Unified(name, before, after string) string {
	if before == after {
		return ""
	}
	edits := script(lines(before), lines(after))
	var b strings.Builder
	fmt.Fprintf(&b, "--- %s\n+++ %s\n", name, name)
	for start := 0; start < len(edits); {
		if edits[start].kind == ' ' {
			start++
			continue
		}
		from := max(0, start-context)
		end, quiet := start, 0
		for end < len(edits) && quiet <= 2*context {
			if edits[end].kind == ' ' {
				quiet++
			} else {
				quiet = 0
			}
			end++
		}
		end = min(len(edits), end-quiet+min(quiet, context))
		hunk(&b, edits[from:end])
		start = end
	}
	return b.String()
}

type edit struct {
	kind       byte // ' ', '-' or '+'
	text       string
	old, fresh int // numbers of the line in both texts, from 1; that of the next line where it is in one only
}

func hunk(b *strings.Builder, edits []edit) {
	old, fresh := 0, 0
	for _, e := range edits {
		if e.kind != '+' {
			old++
		}
		if e.kind != '-' {
			fresh++
		}
	}
	fmt.Fprintf(b, "@@ -%s +%s @@\n", span(edits[0].old, old), span(edits[0].fresh, fresh))
	for _, e := range edits {
		b.WriteByte(e.kind)
		b.WriteString(strings.TrimSuffix(e.text, "\n"))
		b.WriteByte('\n')
		if !strings.HasSuffix(e.text, "\n") {
			b.WriteString("\\ No newline at end of file\n")
		}
	}
}

// span writes where lines stand: the line before them where there are none.
func span(at, count int) string {
	switch count {
	case 0:
		return fmt.Sprintf("%d,0", at-1)
	case 1:
		return fmt.Sprint(at)
	}
	return fmt.Sprintf("%d,%d", at, count)
}

// lines splits a text after each line break.
func lines(text string) []string {
	var out []string
	for line := range strings.Lines(text) {
		out = append(out, line)
	}
	return out
}

// script is the shortest list of lines to take out and put in, by the greedy algorithm of Myers 1986 (Algorithmica 1, 251-266): the
// time grows with the lines times the changes. Beyond a limit of changes everything between the first and the last is replaced.
func script(old, fresh []string) []edit {
	head := 0
	for head < len(old) && head < len(fresh) && old[head] == fresh[head] {
		head++
	}
	tail := 0
	for tail < len(old)-head && tail < len(fresh)-head && old[len(old)-1-tail] == fresh[len(fresh)-1-tail] {
		tail++
	}
	var out []edit
	for i := range head {
		out = append(out, edit{' ', old[i], i + 1, i + 1})
	}
	for _, e := range myers(old[head:len(old)-tail], fresh[head:len(fresh)-tail]) {
		e.old, e.fresh = e.old+head, e.fresh+head
		out = append(out, e)
	}
	for i := len(old) - tail; i < len(old); i++ {
		out = append(out, edit{' ', old[i], i + 1, i + 1 + len(fresh) - len(old)})
	}
	return out
}

const mostChanges = 2000

func myers(a, b []string) []edit {
	limit := min(len(a)+len(b), mostChanges)
	furthest := make([]int, 2*limit+2)
	var trace [][]int
	for d := 0; d <= limit; d++ {
		trace = append(trace, append([]int(nil), furthest...))
		for k := -d; k <= d; k += 2 {
			x := 0
			if k == -d || k != d && furthest[limit+k-1] < furthest[limit+k+1] {
				x = furthest[limit+k+1]
			} else {
				x = furthest[limit+k-1] + 1
			}
			for x < len(a) && x-k < len(b) && a[x] == b[x-k] {
				x++
			}
			furthest[limit+k] = x
			if x >= len(a) && x-k >= len(b) {
				return backtrack(a, b, trace, limit)
			}
		}
	}
	var out []edit
	for i, text := range a {
		out = append(out, edit{'-', text, i + 1, 1})
	}
	for i, text := range b {
		out = append(out, edit{'+', text, len(a) + 1, i + 1})
	}
	return out
}

func backtrack(a, b []string, trace [][]int, limit int) []edit {
	var reversed []edit
	x, y := len(a), len(b)
	for d := len(trace) - 1; d >= 0; d-- {
		furthest, k := trace[d], x-y
		previous := k - 1
		if k == -d || k != d && furthest[limit+k-1] < furthest[limit+k+1] {
			previous = k + 1
		}
		fromX := furthest[limit+previous]
		fromY := fromX - previous
		if d == 0 {
			fromX, fromY = 0, 0
		}
		for x > fromX && y > fromY {
			reversed = append(reversed, edit{' ', a[x-1], x, y})
			x, y = x-1, y-1
		}
		switch {
		case d == 0:
		case x == fromX:
			reversed = append(reversed, edit{'+', b[y-1], x + 1, y})
		default:
			reversed = append(reversed, edit{'-', a[x-1], x, y + 1})
		}
		x, y = fromX, fromY
	}
	out := make([]edit, len(reversed))
	for i, e := range reversed {
		out[len(reversed)-1-i] = e
	}
	return out
}
