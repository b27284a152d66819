package measure

import (
	"fmt"

	"clapladder.example/rhythm"
)

// reason is why a measure is undefined. Its text completes "is not defined here: …".
type reason string

// Error is the reason as a clause.
func (r reason) Error() string { return string(r) }

// Why a measure can be undefined.
const (
	errEmpty      reason = "there is no stroke"
	errMixed      reason = "its beats are divided in more than one way, so it has no common pulse"
	errUneven     reason = "beats or groups of unequal length have no published rule"
	errNotBinary  reason = "the bar is not a power of two of pulses"
	errNotFours   reason = "its beats are not divided into four"
	errPrime      reason = "a bar with a prime number of pulses has no beat inside"
	errNoClock    reason = "no clock of two, three or four pulses divides its bar"
	errNotPrime   reason = "only splits by prime numbers up to 31 have weights"
	errNoProfile  reason = "the published profiles cover 4/4, 3/4 and 6/8 in sixteenths"
	errNoTempo    reason = "it has no tempo"
	errFewStrokes reason = "there are too few strokes"
	errTooLong    reason = "it is too long"
)

// UndefinedError says that a measure has no value for a metre or for one phrase in it.
type UndefinedError struct {
	Measure string       // the measure's name
	Meter   rhythm.Meter // zero for a pattern without a written metre
	Reason  error        // a clause that says why
}

// Error is one line: measure, metre, reason.
func (e *UndefinedError) Error() string {
	if e.Meter.IsZero() {
		return fmt.Sprintf("%s is not defined for this pattern: %v", e.Measure, e.Reason)
	}
	return fmt.Sprintf("%s is not defined for this phrase in %s: %v", e.Measure, e.Meter, e.Reason)
}

// Unwrap gives the reason.
func (e *UndefinedError) Unwrap() error { return e.Reason }
