package spoken

// spread lays words for a few parts over n boxes, with a filler in between.
func spread(n int, words []string, filler string) []string {
	out := make([]string, n)
	for j := range out {
		out[j] = filler
		if j*len(words)%n == 0 {
			out[j] = words[j*len(words)/n]
		}
	}
	return out
}

// divisions finds the words for n boxes: the largest division with words of its own that divides n.
func divisions(n int, words map[int][]string, filler string) []string {
	best := 1
	for parts := range words {
		if n%parts == 0 && parts > best {
			best = parts
		}
	}
	return spread(n, words[best], filler)
}

var beatFunctionWords = map[int][]string{
	1: {"ta"},
	2: {"ta", "di"},
	3: {"ta", "ki", "da"},
	4: {"ta", "ka", "di", "mi"},
	5: {"ta", "ka", "di", "mi", "ti"},
	6: {"ta", "va", "ki", "di", "da", "ma"},
	7: {"ta", "va", "ki", "di", "da", "ma", "ti"},
}

func beatFunction(p place) []string { return divisions(p.boxes, beatFunctionWords, "ti") }

var macroMicroWords = map[int][]string{
	1: {"du"},
	2: {"du", "de"},
	3: {"du", "da", "di"},
	4: {"du", "ta", "de", "ta"},
	6: {"du", "ta", "da", "ta", "di", "ta"},
}

func macroMicro(p place) []string { return divisions(p.boxes, macroMicroWords, "ta") }

var southIndianWords = map[int][]string{
	1: {"ta"},
	2: {"ta", "ka"},
	3: {"ta", "ki", "ta"},
	4: {"ta", "ka", "di", "mi"},
	5: {"ta", "ka", "ta", "ki", "ta"},
}

func southIndian(p place) []string {
	var words []string
	for _, group := range southIndianGroups(p.boxes) {
		words = append(words, southIndianWords[group]...)
	}
	return words
}

// southIndianGroups cuts n boxes into groups that have words.
func southIndianGroups(n int) []int {
	switch n {
	case 1, 2, 3, 4, 5:
		return []int{n}
	case 6:
		return []int{4, 2}
	case 7:
		return []int{3, 4}
	case 9:
		return []int{2, 3, 4}
	}
	var groups []int
	if first := n % 4; first > 0 {
		groups = append(groups, first)
	}
	for range n / 4 {
		groups = append(groups, 4)
	}
	return groups
}
