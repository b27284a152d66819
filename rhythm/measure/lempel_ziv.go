package measure

// maxFactored bounds the pulses of lempelZiv, whose time grows with their square.
const maxFactored = 8192

// lempelZiv is the production complexity of Lempel & Ziv (1976), IEEE Transactions on Information
// Theory 22:75-81, of the pulses read as a binary string: the number of factors when each is
// extended while it occurs earlier in the string, overlap allowed. A last factor that ends with the
// string counts. Toussaint (2002) found it of no use for timelines.
//
// It reads the pattern once from its first pulse: the same for a cycle and a phrase with an end. It
// depends on the number of pulses a beat: see the package comment. Undefined for mixed divisions
// (errMixed) and above 8192 pulses (errTooLong). Range: 1 up.
func lempelZiv(p *Pattern) (float64, error) {
	switch err := p.pulsed(); {
	case err != nil:
		return 0, err
	case len(p.sounded) > maxFactored:
		return 0, errTooLong
	}
	s, factors := p.sounded, 0
	for start := 0; start < len(s); factors++ {
		longest := 0 // longest earlier match of what begins at start
		for from := range start {
			length := 0
			for start+length < len(s) && s[from+length] == s[start+length] {
				length++
			}
			longest = max(longest, length)
			if start+longest == len(s) {
				break
			}
		}
		start += longest + 1
	}
	return float64(factors), nil
}
